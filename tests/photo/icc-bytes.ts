/** ICC profiles built byte by byte (ICC.1:2022) from primaries and curves. */
import type { Mat3 } from '../../src/core/math/linear.ts';

export type CurveTag =
  | { readonly kind: 'curv'; readonly values: readonly number[] }
  | { readonly kind: 'para'; readonly type: number; readonly parameters: readonly number[] };

const ascii = (s: string): number[] => [...s].map((c) => c.charCodeAt(0));
const u16 = (v: number): number[] => [(v >> 8) & 255, v & 255];
const u32 = (v: number): number[] => [(v >>> 24) & 255, (v >>> 16) & 255, (v >>> 8) & 255, v & 255];
const fixed = (v: number): number[] => u32(Math.round(v * 65536));

function curveBytes(curve: CurveTag): number[] {
  if (curve.kind === 'curv')
    return [...ascii('curv'), 0, 0, 0, 0, ...u32(curve.values.length), ...curve.values.flatMap(u16)];
  return [...ascii('para'), 0, 0, 0, 0, ...u16(curve.type), 0, 0, ...curve.parameters.flatMap(fixed)];
}

/** A matrix/TRC display profile; `colorants` holds XYZ (D50) of red, green, blue as columns. */
export function matrixProfile(
  name: string,
  colorants: Mat3,
  curve: CurveTag,
  header: { readonly space?: string; readonly pcs?: string } = {},
): Uint8Array {
  const m = colorants;
  const xyz = (c: number): number[] => [
    ...ascii('XYZ '),
    0,
    0,
    0,
    0,
    ...[m[c], m[3 + c], m[6 + c]].flatMap(fixed),
  ];
  const desc = [
    ...ascii('desc'),
    0,
    0,
    0,
    0,
    ...u32(name.length + 1),
    ...ascii(name),
    0,
    ...new Array(78).fill(0),
  ];
  const trc = curveBytes(curve);
  const bodies: [string, number[]][] = [
    ['desc', desc],
    ['rXYZ', xyz(0)],
    ['gXYZ', xyz(1)],
    ['bXYZ', xyz(2)],
    ['rTRC', trc],
    ['gTRC', trc],
    ['bTRC', trc],
  ];
  const table: number[] = [...u32(bodies.length)];
  const data: number[] = [];
  const start = 128 + 4 + 12 * bodies.length;
  for (const [tag, body] of bodies) {
    table.push(...ascii(tag), ...u32(start + data.length), ...u32(body.length));
    data.push(...body);
    while (data.length % 4) data.push(0);
  }
  const head = new Array<number>(128).fill(0);
  head.splice(0, 4, ...u32(start + data.length));
  head.splice(8, 4, 2, 0x40, 0, 0);
  head.splice(12, 4, ...ascii('mntr'));
  head.splice(16, 4, ...ascii((header.space ?? 'RGB').padEnd(4)));
  head.splice(20, 4, ...ascii((header.pcs ?? 'XYZ').padEnd(4)));
  head.splice(36, 4, ...ascii('acsp'));
  head.splice(68, 12, ...fixed(0.9642), ...fixed(1), ...fixed(0.8249));
  return Uint8Array.from([...head, ...table, ...data]);
}
