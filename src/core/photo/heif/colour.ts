/** The colour space of a HEIC photo, read from its boxes (ISO/IEC 14496-12 and 23008-12, "colr"). */
import type { Warning } from '../../errors.ts';
import { profileFromIcc, srgbProfile } from '../icc.ts';
import { DISPLAY_P3_PRIMARIES, linearSrgbFromColorants, pcsFromPrimaries } from '../primaries.ts';
import type { ColourProfile } from '../types.ts';
import { allProperties, type Box, metaOf, primaryItem, propertiesOf, text } from './boxes.ts';

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
  const meta = metaOf(v);
  const all = allProperties(v, meta).filter((p) => p.type === 'colr');
  const primary = primaryItem(v, meta);
  const own = primary === undefined ? [] : propertiesOf(v, meta, primary).filter((p) => p.type === 'colr');
  return own.length > 0 ? own : all;
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
