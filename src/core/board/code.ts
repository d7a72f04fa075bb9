/** The 2D code on a board: what it says, written and read back, and its modules (QR, ISO/IEC 18004). */
import { sha256 } from '@noble/hashes/sha2.js';
import { encode } from 'uqr';
import {
  BOARD_CODE_FORMAT,
  type BoardCodeFile,
  boardCodeSchema,
} from '../../../shared/schemas/board-code.ts';
import type { Lab, WhiteName } from '../color/index.ts';
import { SprayoutError } from '../errors.ts';
import { schemaIssue } from '../schema-issue.ts';
import { amountWords } from './recipe.ts';

/** The record that a board stands for. */
export interface BoardRecord {
  /** The job's name. */
  readonly job: string;
  readonly white: WhiteName;
  readonly panels: readonly RecordedPanel[];
}

export interface RecordedPanel {
  readonly id: string;
  /** In short, see `shortRecipe`. */
  readonly recipe?: string;
  readonly lab?: Lab;
}

/** What a code says: the job by its reference, panels with what there was room for. */
export interface BoardReference {
  readonly job: string;
  readonly white: WhiteName;
  readonly panels: readonly RecordedPanel[];
  /** Panels of the sheet that are not in the code. */
  readonly more: number;
}

/** Bytes that a code of 77 modules a side holds at error correction M (ISO/IEC 18004, table 7: version 15). */
export const MOST_BYTES = 412;

/** How a job is named in codes: 12 hexadecimal digits of the SHA-256 of its name, composed (NFC). */
export function jobReference(name: string): string {
  const digest = sha256(new TextEncoder().encode(name.normalize('NFC')));
  return Array.from(digest.subarray(0, 6), (b) => b.toString(16).padStart(2, '0')).join('');
}

/** `garnet:5 amber:1 /5 x3 gold clear`: parts by tint id, carrier to one of mix, coats, ground id, clear or `open`. */
export function shortRecipe(panel: {
  readonly recipe:
    | {
        readonly parts: readonly { readonly id: string; readonly parts: number }[];
        readonly carrier: number | undefined;
      }
    | undefined;
  readonly coats: number | undefined;
  readonly ground: string | undefined;
  readonly clear: boolean | undefined;
}): string {
  const { recipe, coats, ground, clear } = panel;
  return [
    ...(recipe?.parts.map((p) => `${p.id}:${amountWords(p.parts)}`) ?? []),
    ...(recipe?.carrier === undefined ? [] : [`/${amountWords(recipe.carrier)}`]),
    ...(coats === undefined ? [] : [`x${coats}`]),
    ...(ground === undefined ? [] : [ground]),
    ...(clear === undefined ? [] : [clear ? 'clear' : 'open']),
  ]
    .join(' ')
    .slice(0, 200);
}

/** The text of a record's code, at most `most` bytes: of many panels first the colours go, then the recipes, then panels. */
export function boardCode({ job, white, panels }: BoardRecord, most = MOST_BYTES): string {
  const rows = (keep: 1 | 2 | 3, count: number): BoardCodeFile['panels'] =>
    panels.slice(0, count).map(({ id, recipe = '', lab }) => {
      if (keep === 3 && lab) return [id, recipe, tenths(lab)];
      return keep >= 2 ? [id, recipe] : [id];
    });
  const text = (keep: 1 | 2 | 3, count: number): string =>
    JSON.stringify({
      format: BOARD_CODE_FORMAT,
      job: jobReference(job),
      white,
      panels: rows(keep, count),
      ...(count < panels.length && { more: panels.length - count }),
    });
  const fits = (t: string): boolean => new TextEncoder().encode(t).length <= most;
  for (const keep of [3, 2, 1] as const) {
    const whole = text(keep, panels.length);
    if (fits(whole)) return whole;
  }
  let count = panels.length - 1;
  while (count > 1 && !fits(text(1, count))) count--;
  return text(1, Math.max(1, count));
}

function tenths(lab: Lab): [number, number, number] {
  return [lab[0], lab[1], lab[2]].map((v) => Math.round(10 * v) / 10) as [number, number, number];
}

/** What a code's text says. Throws `readings-invalid` for a text that is no board's code. */
export function parseBoardCode(text: string): BoardReference {
  let json: unknown;
  try {
    json = JSON.parse(text);
  } catch {
    throw notOurs('its text is no record');
  }
  const parsed = boardCodeSchema.safeParse(json);
  if (!parsed.success) {
    const { issues } = parsed.error;
    const { at, what } = schemaIssue(issues);
    throw notOurs(issues[0].path.length > 0 ? `${at} ${what}` : 'its text is no record');
  }
  const { job, white, panels, more = 0 } = parsed.data;
  return {
    job,
    white,
    more,
    panels: panels.map(([id, recipe, lab]) => ({ id, ...(recipe && { recipe }), ...(lab && { lab }) })),
  };
}

function notOurs(what: string): SprayoutError {
  return new SprayoutError(
    'readings-invalid',
    `This code is not one of a sample board: ${what}.`,
    'Scan the square code at the foot of a board.',
  );
}

/** The modules of a code, row by row, dark ones true, without the quiet zone. Error correction M. */
export function codeModules(text: string): readonly (readonly boolean[])[] {
  return encode(text, { ecc: 'M', border: 0 }).data;
}

/** Width of the light margin that a reader needs around a code, modules (ISO/IEC 18004, 6.3.8). */
export const QUIET_MODULES = 4;
