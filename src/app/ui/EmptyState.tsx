import type { ReactNode } from 'react';

export interface EmptyStateProps {
  readonly title: string;
  readonly children?: ReactNode;
  readonly actions?: ReactNode;
}

/** Nothing here yet: says what will be, and how to begin. */
export function EmptyState({ title, children, actions }: EmptyStateProps) {
  return (
    <section className="empty">
      <h2>{title}</h2>
      {children}
      {actions && <div className="screen-next">{actions}</div>}
    </section>
  );
}
