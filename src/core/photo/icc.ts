import type { Warning } from '../errors.ts';
import type { Mat3 } from '../math/linear.ts';
import { ADOBE_RGB_PRIMARIES, linearSrgbFromColorants, pcsFromPrimaries } from './primaries.ts';
import { decodeTable, isLinearTable, srgbCurve, transferCurveAt } from './transfer-curve.ts';
import type { ColourProfile } from './types.ts';

const IDENTITY: Mat3 = [1, 0, 0, 0, 1, 0, 0, 0, 1];

/** sRGB (IEC 61966-2-1) for 8 or 16 bit values: what a photo without a profile is taken for. */
export function srgbProfile(bits: 8 | 16): ColourProfile {
  const table = decodeTable(srgbCurve, bits);
  return {
    name: 'sRGB',
    source: 'assumed',
    isLinear: false,
    decode: [table, table, table],
    toLinearSrgb: IDENTITY,
  };
}

/** Adobe RGB (1998): what a photo without a profile is taken for when its EXIF data say so. */
export function adobeRgbProfile(bits: 8 | 16): ColourProfile {
  const table = decodeTable((v) => v ** (2 + 51 / 256), bits);
  return {
    name: 'Adobe RGB (1998)',
    source: 'assumed',
    isLinear: false,
    decode: [table, table, table],
    toLinearSrgb: linearSrgbFromColorants(pcsFromPrimaries(ADOBE_RGB_PRIMARIES)),
  };
}

/**
 * The colour profile of embedded ICC bytes (ICC.1:2022, three-component matrix-based profiles of versions 2 and 4;
 * the version 2 curves are the same). Profiles of another kind (table-based, CMYK, grey) and broken ones never stop
 * the work: the pixels are then taken for sRGB, and a warning says so.
 */
export function profileFromIcc(
  bytes: Uint8Array,
  bits: 8 | 16,
): { readonly profile: ColourProfile; readonly warnings: readonly Warning[] } {
  try {
    return { profile: parseMatrixProfile(bytes, bits), warnings: [] };
  } catch (error) {
    if (!(error instanceof RangeError)) throw error;
    const message = `The photo's colour profile cannot be used (${reason(error)}); its colours are read as sRGB.`;
    return { profile: srgbProfile(bits), warnings: [{ code: 'profile-unusable', message }] };
  }
}

/** A DataView read beyond its end throws a RangeError with the engine's own words. */
function reason(error: RangeError): string {
  return /offset|bounds/i.test(error.message) ? 'it is cut short' : error.message;
}

function parseMatrixProfile(bytes: Uint8Array, bits: 8 | 16): ColourProfile {
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
  if (bytes.length < 132 || signature(view, 36) !== 'acsp') throw new RangeError('it is broken');
  const space = signature(view, 16).trim();
  if (space !== 'RGB')
    throw new RangeError(`it describes ${space === 'GRAY' ? 'grey' : printable(space)} values`);
  const tags = tagTable(view);
  const at = (name: string): number => {
    const offset = tags.get(name);
    if (offset === undefined) throw new RangeError('it is table-based, or has no primaries and curves');
    return offset;
  };
  if (signature(view, 20).trim() !== 'XYZ') throw new RangeError('it is table-based');
  const toLinearSrgb = linearSrgbFromColorants(colorants(view, at('rXYZ'), at('gXYZ'), at('bXYZ')));
  const made = new Map<number, Float32Array>();
  const table = (name: string): Float32Array => {
    const offset = at(name);
    const known = made.get(offset) ?? decodeTable(transferCurveAt(view, offset), bits);
    made.set(offset, known);
    return known;
  };
  const decode = [table('rTRC'), table('gTRC'), table('bTRC')] as const;
  return {
    name: description(view, tags.get('desc')),
    source: 'embedded',
    isLinear: decode.every(isLinearTable),
    decode,
    toLinearSrgb,
  };
}

function signature(view: DataView, at: number): string {
  return String.fromCharCode(
    view.getUint8(at),
    view.getUint8(at + 1),
    view.getUint8(at + 2),
    view.getUint8(at + 3),
  );
}

function printable(text: string): string {
  return text.replace(/[^\x20-\x7e\u00a0-\ud7ff]/g, '').trim();
}

function tagTable(view: DataView): ReadonlyMap<string, number> {
  const count = view.getUint32(128);
  if (count > 200) throw new RangeError('it is broken');
  const tags = new Map<string, number>();
  for (let i = 0; i < count; i++) tags.set(signature(view, 132 + 12 * i), view.getUint32(136 + 12 * i));
  return tags;
}

function colorants(view: DataView, red: number, green: number, blue: number): Mat3 {
  const row = (axis: number): number[] =>
    [red, green, blue].map((at) => {
      if (signature(view, at) !== 'XYZ ') throw new RangeError('it is broken');
      return view.getInt32(at + 8 + 4 * axis) / 65536;
    });
  return [...row(0), ...row(1), ...row(2)] as unknown as Mat3;
}

/** The profile's own name: a version 2 `desc` or a version 4 `mluc` tag, cut to 60 characters. */
function description(view: DataView, at: number | undefined): string {
  const unnamed = 'embedded profile';
  if (at === undefined || at + 28 > view.byteLength) return unnamed;
  const kind = signature(view, at);
  const [start, length, wide] =
    kind === 'desc'
      ? [at + 12, view.getUint32(at + 8), false]
      : kind === 'mluc'
        ? [at + view.getUint32(at + 24), view.getUint32(at + 20) / 2, true]
        : [0, 0, false];
  let text = '';
  for (let i = 0; i < Math.min(length, 60); i++) {
    const position = start + (wide ? 2 * i : i);
    if (position + 2 > view.byteLength) break;
    text += String.fromCharCode(wide ? view.getUint16(position) : view.getUint8(position));
  }
  return printable(text) || unnamed;
}
