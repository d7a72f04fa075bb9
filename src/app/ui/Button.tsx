import type { ReactNode } from 'react';
import { Button as AriaButton, type ButtonProps as AriaButtonProps } from 'react-aria-components';

export interface ButtonProps extends Omit<AriaButtonProps, 'className' | 'style' | 'children'> {
  /** `primary` once on a screen, for its next step; `quiet` without an outline. */
  readonly kind?: 'primary' | 'plain' | 'quiet';
  readonly icon?: ReactNode;
  readonly children: ReactNode;
}

export function Button({ kind = 'plain', icon, children, ...rest }: ButtonProps) {
  const look = kind === 'plain' ? 'button' : `button button-${kind}`;
  return (
    <AriaButton {...rest} className={look}>
      {icon}
      {children}
    </AriaButton>
  );
}

export interface IconButtonProps extends Omit<AriaButtonProps, 'className' | 'style' | 'children'> {
  readonly icon: ReactNode;
  /** The word beside the icon; on a phone only screen readers have it. */
  readonly word: string;
}

/** A quiet button of an icon and its word. */
export function IconButton({ icon, word, ...rest }: IconButtonProps) {
  return (
    <AriaButton {...rest} className="button button-quiet button-icon">
      {icon}
      <span className="button-word">{word}</span>
    </AriaButton>
  );
}
