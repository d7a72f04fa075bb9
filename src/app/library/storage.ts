/** How much room there is, whether the browser will keep it, and what to say when it won't. */
import type { AppProblem } from '../store/work.ts';

export interface Room {
  readonly used_bytes: number;
  readonly quota_bytes: number;
  /** True when the browser has promised not to clear it by itself. */
  readonly kept: boolean;
}

export async function roomLeft(): Promise<Room | undefined> {
  if (!navigator.storage?.estimate) return undefined;
  const { usage = 0, quota = 0 } = await navigator.storage.estimate();
  return { used_bytes: usage, quota_bytes: quota, kept: (await navigator.storage.persisted?.()) ?? false };
}

/** Asks the browser to keep the jobs even when the disk gets full. Answers whether it will. */
export async function askToKeep(): Promise<boolean> {
  return (await navigator.storage?.persist?.()) ?? false;
}

/** What Dexie throws: what the browser said lies within, one for each row of many. */
interface StorageError {
  readonly name?: string;
  readonly message?: string;
  readonly inner?: { readonly name?: string };
  readonly failures?: readonly { readonly name?: string }[];
}

/** A failed storing in words. */
export function storageProblem(thrown: unknown): AppProblem {
  const error = thrown as StorageError;
  const names = [error, error.inner, ...(error.failures ?? [])].map((e) => e?.name);
  if (names.includes('QuotaExceededError'))
    return {
      code: 'storage-full',
      message: 'Not saved: storage is full. What you see is still here.',
      hint: 'Keep a copy of this job now, then free room: erase deleted jobs, or photos elsewhere on this device, and try again.',
    };
  if (names.some((n) => n === 'MissingAPIError' || n === 'OpenFailedError' || n === 'SecurityError'))
    return {
      code: 'storage-denied',
      message: 'Not saved: this window may not store anything. What you see is still here.',
      hint: 'Keep a copy of this job before you close the window. A window that is not private keeps jobs by itself.',
    };
  return {
    code: 'storage-failed',
    message: `Not saved: the browser's storage failed (${error.message ?? String(thrown)}).`,
    hint: 'Try again; if it keeps failing, keep a copy of this job now.',
  };
}
