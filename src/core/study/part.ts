import { type ErrorCode, SprayoutError } from '../errors.ts';

/** A refusal as a plain value: what is wrong and where, and what to do. */
export interface Problem {
  readonly code: ErrorCode;
  readonly message: string;
  readonly hint: string;
}

/** An answer, or why there is none. */
export type Part<T> =
  | { readonly ok: true; readonly value: T }
  | { readonly ok: false; readonly problem: Problem };

/** Any thrown thing as a plain refusal. */
export function problemOf(thrown: unknown): Problem {
  if (thrown instanceof SprayoutError)
    return { code: thrown.code, message: thrown.message, hint: thrown.hint };
  const what = thrown instanceof Error ? thrown.message : String(thrown);
  return {
    code: 'internal',
    message: `Something happened that sprayout did not foresee: ${what.split('\n')[0]}`,
    hint: 'This is a fault of sprayout, not yours. Your job is safe; please report it.',
  };
}

/** Does something and keeps its refusal apart. */
export function attempt<T>(work: () => T): Part<T> {
  try {
    return { ok: true, value: work() };
  } catch (error) {
    return { ok: false, problem: problemOf(error) };
  }
}

/** The same of what takes a while. */
export async function attemptLater<T>(work: () => Promise<T>): Promise<Part<T>> {
  try {
    return { ok: true, value: await work() };
  } catch (error) {
    return { ok: false, problem: problemOf(error) };
  }
}

/** Goes on from an answer; a refusal is handed on. */
export function andThen<A, B>(part: Part<A>, work: (value: A) => B): Part<B> {
  return part.ok ? attempt(() => work(part.value)) : part;
}
