import { SprayoutError } from '../core/errors.ts';

/** A day as asked for, like 2026-05-01, today when left out. Throws `usage` for what is no day of the calendar. */
export function dateOption(written: string | undefined): string {
  if (written === undefined) return new Date().toISOString().slice(0, 10);
  const day = /^\d{4}-\d{2}-\d{2}$/.test(written) ? new Date(`${written}T00:00:00Z`) : undefined;
  if (!day || Number.isNaN(day.getTime()) || day.toISOString().slice(0, 10) !== written)
    throw new SprayoutError('usage', `--date ${written} is no day.`, 'Write it like --date 2026-05-01.');
  return written;
}
