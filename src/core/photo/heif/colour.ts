/** The colour space of a HEIC photo, read from its boxes (ISO/IEC 14496-12 and 23008-12, "colr"). */
import type { Warning } from '../../errors.ts';
import { profileFromIcc, srgbProfile } from '../icc.ts';
import { DISPLAY_P3_PRIMARIES, linearSrgbFromColorants, pcsFromPrimaries } from '../primaries.ts';
import type { ColourProfile } from '../types.ts';

interface Box {
  readonly type: string;
  readonly from: number;
  readonly to: number;
}

const text = (v: DataView, at: number): string =>
  String.fromCharCode(v.getUint8(at), v.getUint8(at + 1), v.getUint8(at + 2), v.getUint8(at + 3));

function boxesIn(v: DataView, from: number, to: number): Box[] {
  const found: Box[] = [];
  for (let at = from; at + 8 <= to; ) {
    let size = v.getUint32(at);
    let head = 8;
    if (size === 1) {
      size = v.getUint32(at + 8) * 2 ** 32 + v.getUint32(at + 12);
      head = 16;
    } else if (size === 0) size = to - at;
    if (size < head) break;
    found.push({ type: text(v, at + 4), from: at + head, to: Math.min(to, at + size) });
    at += size;
  }
  return found;
}

const within = (v: DataView, b: Box | undefined, skip = 0): Box[] =>
  b ? boxesIn(v, b.from + skip, b.to) : [];
const pick = (list: readonly Box[], type: string): Box | undefined => list.find((b) => b.type === type);

/**
 * Colour profile of the primary picture: its embedded ICC profile, else what its nclx codes say (ITU-T H.273), else
 * sRGB. What cannot be used becomes a warning, as for other files.
 */
export function heifProfile(bytes: Uint8Array): {
  readonly profile: ColourProfile;
  readonly warnings: readonly Warning[];
} {
  try {
    const v = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
    const colours = colourBoxes(v);
    const icc = colours.find((b) => ['prof', 'rICC'].includes(text(v, b.from)));
    if (icc) return profileFromIcc(bytes.subarray(icc.from + 4, icc.to), 8);
    const nclx = colours.find((b) => text(v, b.from) === 'nclx');
    if (nclx) return nclxProfile(v.getUint16(nclx.from + 4), v.getUint16(nclx.from + 6));
  } catch (error) {
    if (!(error instanceof RangeError)) throw error;
  }
  return { profile: srgbProfile(8), warnings: [] };
}

/** The colour boxes of the primary item; of any item where it has none of its own, as tiled photos may. */
function colourBoxes(v: DataView): Box[] {
  const meta = within(v, pick(boxesIn(v, 0, v.byteLength), 'meta'), 4);
  const pitm = pick(meta, 'pitm');
  const primary =
    pitm && (v.getUint8(pitm.from) === 0 ? v.getUint16(pitm.from + 4) : v.getUint32(pitm.from + 4));
  const iprp = within(v, pick(meta, 'iprp'));
  const properties = within(v, pick(iprp, 'ipco'));
  const ipma = pick(iprp, 'ipma');
  const own =
    ipma && primary !== undefined
      ? associations(v, ipma, primary).flatMap((i) =>
          properties[i - 1]?.type === 'colr' ? [properties[i - 1]] : [],
        )
      : [];
  return own.length > 0 ? own : properties.filter((p) => p.type === 'colr');
}

/** Indices (from 1) of an item's properties. */
function associations(v: DataView, box: Box, item: number): number[] {
  const version = v.getUint8(box.from);
  const wide = (v.getUint8(box.from + 3) & 1) === 1;
  const count = v.getUint32(box.from + 4);
  let at = box.from + 8;
  for (let i = 0; i < count; i++) {
    const id = version < 1 ? v.getUint16(at) : v.getUint32(at);
    at += version < 1 ? 2 : 4;
    const links = v.getUint8(at++);
    const found: number[] = [];
    for (let k = 0; k < links; k++) {
      found.push(wide ? v.getUint16(at) & 0x7fff : v.getUint8(at) & 0x7f);
      at += wide ? 2 : 1;
    }
    if (id === item) return found;
  }
  return [];
}

const BT709 = 1;
const P3_D65 = 12;
const SRGB_TRANSFERS: readonly number[] = [1, 2, 6, 13];

function nclxProfile(
  primaries: number,
  transfer: number,
): { readonly profile: ColourProfile; readonly warnings: readonly Warning[] } {
  const srgb = srgbProfile(8);
  const known = [BT709, 2, P3_D65].includes(primaries) && SRGB_TRANSFERS.includes(transfer);
  const profile: ColourProfile =
    primaries === P3_D65
      ? {
          ...srgb,
          name: 'Display P3',
          source: 'embedded',
          toLinearSrgb: linearSrgbFromColorants(pcsFromPrimaries(DISPLAY_P3_PRIMARIES)),
        }
      : srgb;
  return {
    profile,
    warnings: known
      ? []
      : [
          {
            code: 'profile-unusable',
            message: `The photo's colour coding (primaries ${primaries}, transfer ${transfer}) is not one of a plain photo; its colours are read as ${profile.name}.`,
          },
        ],
  };
}
