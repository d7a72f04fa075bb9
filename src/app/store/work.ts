/** Something being worked out: for any part that takes a while and may fail. */

/** What is wrong and where, and what to do: the core's refusals, and those of storage and worker. */
export interface AppProblem {
  readonly code: string;
  readonly message: string;
  readonly hint: string;
}

/** `before` is the last value known: shown, marked as old, while a new one is worked out or after it failed. */
export type Work<T> =
  | { readonly state: 'idle'; readonly before?: T | undefined }
  | { readonly state: 'working'; readonly before?: T | undefined }
  | { readonly state: 'done'; readonly value: T }
  | { readonly state: 'failed'; readonly problem: AppProblem; readonly before?: T | undefined };

export const IDLE = { state: 'idle' } as const;

/** The value, be it the newest or the last one known. */
export function latestOf<T>(work: Work<T> | undefined): T | undefined {
  if (!work) return undefined;
  return work.state === 'done' ? work.value : work.before;
}

export function working<T>(work: Work<T> | undefined): Work<T> {
  return { state: 'working', before: latestOf(work) };
}
