/** ICC profiles for the scenes' files, written byte by byte (ICC.1:2022, version 4 matrix/TRC display profiles). */
import { type Matrix3, product } from './matrix.ts';
import { adaptation, primariesToXyz } from './pipeline.ts';
import type { Triple } from './spectral.ts';

export type ProfileName = 'sRGB' | 'Display P3' | 'linear';

/** PCS illuminant, ICC.1:2022 7.2.16. */
const PCS_WHITE: Triple = [0.9642, 1, 0.8249];
const D65: Triple = [0.9504559, 1, 1.0890578];

/** Profile bytes: sRGB and Display P3 with the sRGB curve, or sRGB primaries with a straight line. */
export function iccProfile(name: ProfileName): Uint8Array {
  const adapt = adaptation(D65, PCS_WHITE);
  const colorants = product(adapt, primariesToXyz(name === 'Display P3' ? 'p3' : 'srgb'));
  const column = (m: Matrix3, c: number): Triple => [m[c], m[3 + c], m[6 + c]];
  const curve = name === 'linear' ? straightCurve() : srgbCurve();
  const tags: readonly (readonly [string, Uint8Array])[] = [
    ['desc', text(name === 'linear' ? 'Linear, sRGB primaries' : name)],
    ['cprt', text('No copyright, use freely')],
    ['wtpt', xyz(PCS_WHITE)],
    ['chad', fixedArray('sf32', adapt)],
    ['rXYZ', xyz(column(colorants, 0))],
    ['gXYZ', xyz(column(colorants, 1))],
    ['bXYZ', xyz(column(colorants, 2))],
    ['rTRC', curve],
    ['gTRC', curve],
    ['bTRC', curve],
  ];
  return assemble(tags);
}

function assemble(tags: readonly (readonly [string, Uint8Array])[]): Uint8Array {
  const tableEnd = 128 + 4 + 12 * tags.length;
  const offsets = new Map<Uint8Array, number>();
  let end = tableEnd;
  for (const [, data] of tags) {
    if (offsets.has(data)) continue;
    offsets.set(data, end);
    end += Math.ceil(data.length / 4) * 4;
  }
  const bytes = new Uint8Array(end);
  const view = new DataView(bytes.buffer);
  const ascii = (at: number, s: string): void => {
    for (let i = 0; i < s.length; i++) bytes[at + i] = s.charCodeAt(i);
  };
  view.setUint32(0, end);
  view.setUint32(8, 0x04400000);
  ascii(12, 'mntrRGB XYZ ');
  // date of creation: fixed, so that the same scene gives the same bytes
  [2024, 1, 1, 0, 0, 0].forEach((v, i) => {
    view.setUint16(24 + 2 * i, v);
  });
  ascii(36, 'acsp');
  PCS_WHITE.forEach((v, i) => {
    view.setInt32(68 + 4 * i, Math.round(v * 65536));
  });
  view.setUint32(128, tags.length);
  tags.forEach(([signature, data], i) => {
    const at = 132 + 12 * i;
    ascii(at, signature);
    view.setUint32(at + 4, offsets.get(data)!);
    view.setUint32(at + 8, data.length);
    bytes.set(data, offsets.get(data)!);
  });
  return bytes;
}

function element(signature: string, body: number): { readonly bytes: Uint8Array; readonly view: DataView } {
  const bytes = new Uint8Array(8 + body);
  for (let i = 0; i < 4; i++) bytes[i] = signature.charCodeAt(i);
  return { bytes, view: new DataView(bytes.buffer) };
}

function fixedArray(signature: string, values: readonly number[]): Uint8Array {
  const { bytes, view } = element(signature, 4 * values.length);
  values.forEach((v, i) => {
    view.setInt32(8 + 4 * i, Math.round(v * 65536));
  });
  return bytes;
}

function xyz(value: Triple): Uint8Array {
  return fixedArray('XYZ ', value);
}

function text(content: string): Uint8Array {
  const { bytes, view } = element('mluc', 20 + 2 * content.length);
  view.setUint32(8, 1);
  view.setUint32(12, 12);
  for (let i = 0; i < 4; i++) bytes[16 + i] = 'enUS'.charCodeAt(i);
  view.setUint32(20, 2 * content.length);
  view.setUint32(24, 28);
  for (let i = 0; i < content.length; i++) view.setUint16(28 + 2 * i, content.charCodeAt(i));
  return bytes;
}

/** Parametric curve of type 3 with the constants of IEC 61966-2-1. */
function srgbCurve(): Uint8Array {
  const { bytes, view } = element('para', 4 + 20);
  view.setUint16(8, 3);
  [2.4, 1 / 1.055, 0.055 / 1.055, 1 / 12.92, 0.04045].forEach((v, i) => {
    view.setInt32(12 + 4 * i, Math.round(v * 65536));
  });
  return bytes;
}

/** A curve of no points: output equals input. */
function straightCurve(): Uint8Array {
  return element('curv', 4).bytes;
}
