/** The few icons: plain strokes on a 24 px grid. */
import type { ReactNode } from 'react';

interface IconProps {
  readonly size?: number;
}

function Strokes({ size = 24, children }: IconProps & { readonly children: ReactNode }) {
  return (
    <svg
      aria-hidden="true"
      width={size}
      height={size}
      viewBox="0 0 24 24"
      fill="none"
      stroke="currentColor"
      strokeWidth="1.75"
      strokeLinecap="square"
    >
      {children}
    </svg>
  );
}

export function PhotosIcon(props: IconProps) {
  return (
    <Strokes {...props}>
      <path d="M3 7h4l2-3h6l2 3h4v13H3zM12 9.5a4 4 0 1 0 0 8 4 4 0 0 0 0-8z" />
    </Strokes>
  );
}

export function MatchIcon(props: IconProps) {
  return (
    <Strokes {...props}>
      <path d="M3 5h9v14H3zM12 8h9v8h-9" />
    </Strokes>
  );
}

export function MixIcon(props: IconProps) {
  return (
    <Strokes {...props}>
      <path d="M5 4h14l-2 17H7zM6 11h12" />
    </Strokes>
  );
}

export function LightsIcon(props: IconProps) {
  return (
    <Strokes {...props}>
      <path d="M8.5 16a6 6 0 1 1 7 0M9 19h6M10.5 22h3M12 1v1M2 10h1M21 10h1" />
    </Strokes>
  );
}

export function BoardIcon(props: IconProps) {
  return (
    <Strokes {...props}>
      <path d="M4 3h16v18H4zM8 7h3v4H8zM13 7h3v4h-3zM8 15h8M8 18h5" />
    </Strokes>
  );
}

export function UndoIcon(props: IconProps) {
  return (
    <Strokes {...props}>
      <path d="M8 5 4 9l4 4M4 9h10a6 6 0 0 1 0 12h-3" />
    </Strokes>
  );
}

export function RedoIcon(props: IconProps) {
  return (
    <Strokes {...props}>
      <path d="m16 5 4 4-4 4M20 9H10a6 6 0 0 0 0 12h3" />
    </Strokes>
  );
}

export function DownIcon(props: IconProps) {
  return (
    <Strokes {...props}>
      <path d="m6 9 6 6 6-6" />
    </Strokes>
  );
}

export function MoreIcon(props: IconProps) {
  return (
    <Strokes {...props}>
      <path d="M5 12h.01M12 12h.01M19 12h.01" strokeWidth="3" strokeLinecap="round" />
    </Strokes>
  );
}

export function TickIcon(props: IconProps) {
  return (
    <Strokes {...props}>
      <path d="m5 12 5 5 9-11" />
    </Strokes>
  );
}

export function AddIcon(props: IconProps) {
  return (
    <Strokes {...props}>
      <path d="M12 4v16M4 12h16" />
    </Strokes>
  );
}
