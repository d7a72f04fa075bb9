import type { Warning } from '../../errors.ts';

/**
 * What says that an instrument let no ultraviolet by: condition M2 of ISO 13655, or a filter named so. A bare M2 may be a
 * patch, so it counts only beside a word of measuring.
 */
const NO_ULTRAVIOLET = /\bUV[\s_-]*(cut|exclu|out)|\b(no|without)[\s_-]*UV\b|\bM2_\w/i;
const CONDITION = /(measur|filter|illum|condition|mode|geometry|source).*\bM2\b/i;
/** Where a file's readings begin; what comes before tells how they were made. */
const READINGS = /^\s*BEGIN_DATA\b/m;

/** What to mind of how readings were made; empty when nothing. */
export function readingsWarnings(text: string): Warning[] {
  const [head] = text.split(READINGS, 1);
  const isCut = head.split(/\r\n|\n|\r/).some((line) => NO_ULTRAVIOLET.test(line) || CONDITION.test(line));
  if (!isCut) return [];
  return [
    {
      code: 'readings-without-ultraviolet',
      message:
        'These readings were made without ultraviolet (ISO 13655 M2): brightener in the paper does not show in them, and in daylight the card is bluer than they say. Read it under M1, or M0, unless the paper has none.',
    },
  ];
}
