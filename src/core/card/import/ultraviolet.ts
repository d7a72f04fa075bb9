import type { Warning } from '../../errors.ts';

/** A filter, or a condition of measuring, that lets no ultraviolet by; words are apart by spaces. */
const CUT = /\bUV[\s-]*(cut|exclu\w*|out|off|filter\w*)\b|\b(no|without)[\s-]+UV\b/i;
/** Condition M2 of ISO 13655. A bare M2 may be a patch, so it counts only beside a word of measuring. */
const CONDITION = /(measur|filter|illum|cond|mode|geometry|source).*\bM2\b/i;
/** The same denied: "without UV filter", "UV-cut: no", "not M2". */
const DENIED =
  /\b(no|not|without)\s+(an?\s+)?(UV[\s-]*(cut|filter)|M2)|\bUV[\s-]*(cut|filter)\W*(no|none|off|false)\b/i;
/** Where a file's readings begin; what comes before tells how they were made. */
const READINGS = /^\s*BEGIN_DATA\b/m;
/** An element of XML that holds nothing but text: its name, without prefix, and the text. */
const ELEMENT = /<(?:\w+:)?(\w+)[^<>]*>([^<>]+)<\//g;

/** What a file says of how it was made, one statement each: elements of XML, or lines. */
function statements(text: string): string[] {
  const said = text.trimStart().startsWith('<')
    ? [...text.matchAll(ELEMENT)].map(([, name, value]) => `${name} ${value}`)
    : text.split(READINGS, 1)[0].split(/\r\n|\n|\r/);
  return said.map((statement) => statement.replaceAll('_', ' '));
}

/** What to mind of how readings were made; empty when nothing. */
export function readingsWarnings(text: string): Warning[] {
  const isCut = statements(text).some((s) => (CUT.test(s) || CONDITION.test(s)) && !DENIED.test(s));
  if (!isCut) return [];
  return [
    {
      code: 'readings-without-ultraviolet',
      message:
        'These readings were made without ultraviolet (ISO 13655 M2): brightener in the paper does not show in them, and in daylight the card is bluer than they say. Read it under M1, or M0, unless the paper has none.',
    },
  ];
}
