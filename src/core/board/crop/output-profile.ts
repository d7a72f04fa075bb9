/**
 * ICC profiles of the output spaces: version 4.3 matrix profiles with a parametric curve (ICC.1:2022, 8.3.2, 9.2, 10.18),
 * some 500 bytes, written so that a picture carries what its numbers mean.
 */
import type { Mat3 } from '../../math/linear.ts';
import { bradford, PCS_WHITE } from '../../photo/primaries.ts';
import { OUTPUT_SPACE, type OutputSpaceName } from './output-space.ts';

const ascii = (text: string): number[] => Array.from(text, (c) => c.charCodeAt(0));
const u16 = (v: number): number[] => [(v >> 8) & 255, v & 255];
const u32 = (v: number): number[] => [(v >>> 24) & 255, (v >>> 16) & 255, (v >>> 8) & 255, v & 255];
const s15Fixed16 = (v: number): number[] => u32(Math.round(v * 65536));

const HEADER_BYTES = 128;
/** sRGB's curve as parametric function type 3: g, a, b, c, d (IEC 61966-2-1). */
const SRGB_CURVE = [2.4, 1 / 1.055, 0.055 / 1.055, 1 / 12.92, 0.04045] as const;
/** XYZ of D65, x = .3127, y = .3290, Y = 1: the white that colours were adapted from. */
const D65 = [0.3127 / 0.329, 1, (1 - 0.3127 - 0.329) / 0.329] as const;

function multiLocalizedText(text: string): number[] {
  const unicode = Array.from(text).flatMap((c) => u16(c.charCodeAt(0)));
  return [
    ...ascii('mluc'),
    ...u32(0),
    ...u32(1),
    ...u32(12),
    ...ascii('enUS'),
    ...u32(unicode.length),
    ...u32(28),
    ...unicode,
  ];
}

function xyz(x: number, y: number, z: number): number[] {
  return [...ascii('XYZ '), ...u32(0), ...s15Fixed16(x), ...s15Fixed16(y), ...s15Fixed16(z)];
}

function adaptation(m: Mat3): number[] {
  return [...ascii('sf32'), ...u32(0), ...m.flatMap(s15Fixed16)];
}

function curve(): number[] {
  return [...ascii('para'), ...u32(0), ...u16(3), ...u16(0), ...SRGB_CURVE.flatMap(s15Fixed16)];
}

/** The bytes of an output space's profile. */
export function outputProfile(name: OutputSpaceName): Uint8Array {
  const m = OUTPUT_SPACE[name].toPcs;
  const tags: readonly (readonly [names: readonly string[], bytes: number[]])[] = [
    [['desc'], multiLocalizedText(name)],
    [['cprt'], multiLocalizedText('No copyright, use freely')],
    [['wtpt'], xyz(PCS_WHITE[0], PCS_WHITE[1], PCS_WHITE[2])],
    [['chad'], adaptation(bradford(D65, PCS_WHITE))],
    [['rXYZ'], xyz(m[0], m[3], m[6])],
    [['gXYZ'], xyz(m[1], m[4], m[7])],
    [['bXYZ'], xyz(m[2], m[5], m[8])],
    [['rTRC', 'gTRC', 'bTRC'], curve()],
  ];
  const count = tags.reduce((n, [names]) => n + names.length, 0);
  const start = HEADER_BYTES + 4 + 12 * count;
  const table: number[] = [];
  const body: number[] = [];
  for (const [names, bytes] of tags) {
    for (const each of names) table.push(...ascii(each), ...u32(start + body.length), ...u32(bytes.length));
    body.push(...bytes);
    while (body.length % 4 !== 0) body.push(0);
  }
  return Uint8Array.from([...header(start + body.length), ...u32(count), ...table, ...body]);
}

function header(size: number): number[] {
  const created = [2026, 1, 1, 0, 0, 0].flatMap(u16);
  const fields = [
    ...u32(size),
    ...u32(0),
    ...u32(0x04300000),
    ...ascii('mntrRGB XYZ '),
    ...created,
    ...ascii('acsp'),
    ...Array.from({ length: 28 }, () => 0),
    ...PCS_WHITE.flatMap(s15Fixed16),
  ];
  return [...fields, ...Array.from({ length: HEADER_BYTES - fields.length }, () => 0)];
}
