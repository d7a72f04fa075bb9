import type { ReactNode } from 'react';
import type { AppProblem } from '../store/work.ts';

export interface NoticeProps {
  /** What is wrong, where, and what to do; or plain content for a note. */
  readonly problem?: AppProblem;
  readonly children?: ReactNode;
  /** The ways out, as buttons. */
  readonly actions?: ReactNode;
  readonly kind?: 'problem' | 'note';
}

/** Something to know, in the place it belongs to. */
export function Notice({ problem, children, actions, kind = problem ? 'problem' : 'note' }: NoticeProps) {
  return (
    <div
      className={kind === 'note' ? 'notice notice-note' : 'notice'}
      role={kind === 'problem' ? 'alert' : 'note'}
    >
      {problem && (
        <>
          <strong>{problem.message}</strong>
          <span>{problem.hint}</span>
        </>
      )}
      {children}
      {actions && <div className="notice-actions">{actions}</div>}
    </div>
  );
}
