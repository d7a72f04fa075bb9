import { MOST_PARTS } from '../../shared/schemas/limits.ts';
import { SprayoutError } from '../core/errors.ts';

/** A decimal number; NaN for anything else, such as nothing, `0x10` and `0b11`, which are slips where a ratio is meant. */
export function plainNumber(text: string): number {
  return /^\s*[-+]?(\d+\.?\d*|\.\d+)(e[-+]?\d+)?\s*$/i.test(text) ? Number(text) : Number.NaN;
}

/** `t1=5,t2=1` as parts by tint. Throws `mix-invalid` that quotes what is no part of a mix. */
export function parseParts(text: string): Record<string, number> {
  const parts: Record<string, number> = {};
  for (const piece of text.split(',')) {
    const [, tint, amount] = /^\s*([^=]+?)\s*=\s*([^\s=]+)\s*$/.exec(piece) ?? [];
    const value = plainNumber(amount ?? '');
    if (tint === undefined || !Number.isFinite(value))
      throw new SprayoutError(
        'mix-invalid',
        `${JSON.stringify(piece)} is not a part of a mix.`,
        'Write parts like --mix "garnet=5,amber=1".',
      );
    if (value > MOST_PARTS)
      throw new SprayoutError(
        'mix-invalid',
        `${amount} parts of ${tint} are more than anyone mixes.`,
        `Parts are at most ${MOST_PARTS}.`,
      );
    if (value < 0)
      throw new SprayoutError(
        'mix-invalid',
        `${value} parts of ${tint} can't be poured.`,
        'Parts are 0 or more.',
      );
    if (Object.hasOwn(parts, tint))
      throw new SprayoutError('mix-invalid', `${tint} is in the mix twice.`, 'Give each tint once.');
    parts[tint] = value;
  }
  return parts;
}

/** A number of an option. Throws `usage` when it is none, or lies outside. */
export function numberOption(
  text: string | undefined,
  name: string,
  least: number,
  most: number,
): number | undefined {
  if (text === undefined) return undefined;
  const value = plainNumber(text);
  if (value >= least && value <= most) return value;
  throw new SprayoutError(
    'usage',
    `--${name} ${text} is not a number from ${least} to ${most}.`,
    `Write it like --${name} ${Math.max(least, 1)}.`,
  );
}

/** A whole number of an option. */
export function wholeOption(
  text: string | undefined,
  name: string,
  least: number,
  most: number,
): number | undefined {
  const value = numberOption(text, name, least, most);
  if (value === undefined || Number.isInteger(value)) return value;
  throw new SprayoutError('usage', `--${name} ${text} is not a whole number.`, `Write it like --${name} 3.`);
}
