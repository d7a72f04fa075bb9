/**
 * A panel's picture for a board: the photo of it, square-on, through the photo's own correction, its mean moved onto the
 * colour that was measured, with its texture kept.
 */
import { type Lab, labFromXyz, type WhiteName } from '../../color/index.ts';
import { multiply3, type Vec3 } from '../../math/linear.ts';
import { PCS_WHITE } from '../../photo/primaries.ts';
import { srgbCurve } from '../../photo/transfer-curve.ts';
import type { PointMm, PointPx, QuadPx, Raster } from '../../photo/types.ts';
import { encodeSrgb } from '../screen-colour.ts';
import { correctedPcs, type LabAt } from './corrected.ts';
import { BAYER } from './dither.ts';
import {
  isWithin,
  OUTPUT_SPACE,
  type OutputSpace,
  type OutputSpaceName,
  pcsFromLab,
  shownColour,
} from './output-space.ts';
import { cropSize, middleWithAspect, rectify } from './rectify.ts';
import { surfaceMask } from './surface.ts';

export type { LabAt } from './corrected.ts';
export { embedProfile } from './embed-profile.ts';
export { encodeTrue } from './encode-true.ts';
export { outputProfile } from './output-profile.ts';
export { OUTPUT_SPACES, type OutputSpaceName } from './output-space.ts';

export interface PanelCropRequest {
  readonly raster: Raster;
  readonly corners_px: QuadPx;
  readonly toMm: (at_px: PointPx) => PointMm;
  /** The photo's correction. */
  readonly labAt: LabAt;
  /** The colour as measured, which the crop's mean is to show, and what it is relative to. */
  readonly lab: Lab;
  readonly white: WhiteName;
  /** Share of the panel trimmed on every side. */
  readonly margin: number;
  /** Width to height. */
  readonly aspect: number;
  readonly longest_px: number;
  /** `auto`: sRGB where it can show the colour, else Display P3. */
  readonly space: OutputSpaceName | 'auto';
}

export interface PanelCrop {
  readonly width_px: number;
  readonly height_px: number;
  /** Interleaved, 8 bit, encoded in `space`. */
  readonly rgb: Uint8Array;
  readonly space: OutputSpaceName;
  /** CIELAB under D50 of the mean light that the crop's pixels show, without glare and holes. */
  readonly shown_lab: Lab;
  /** False when the space cannot show the measured colour; a paler one of the same lightness and hue is shown. */
  readonly isWithinSpace: boolean;
  /** Share of the pixels that are stronger than the space can show. */
  readonly clipped_fraction: number;
}

/** Makes the picture of one panel. Deterministic. */
export function panelCrop(request: PanelCropRequest): PanelCrop {
  const { raster, corners_px, toMm, labAt, white, margin, aspect, longest_px, lab } = request;
  const quad = middleWithAspect(corners_px, toMm, margin, aspect);
  const [width_px, height_px] = cropSize(quad, aspect, longest_px);
  const pcs = correctedPcs(rectify(raster, quad, width_px, height_px), labAt, white);
  const mask = surfaceMask(pcs, width_px, height_px);
  const space = spaceFor(request);
  const aim = shownColour(lab, white, space);
  const drawn = withMean(pcs, mask, width_px, aim.isWithin ? pcsFromLab(white)(lab) : aim.pcs, space);
  return { width_px, height_px, space: space.name, isWithinSpace: aim.isWithin, ...drawn };
}

function spaceFor({ lab, white, space }: PanelCropRequest): OutputSpace {
  if (space !== 'auto') return OUTPUT_SPACE[space];
  return shownColour(lab, white, OUTPUT_SPACE.sRGB).isWithin ? OUTPUT_SPACE.sRGB : OUTPUT_SPACE['Display P3'];
}

const DECODED = Float64Array.from({ length: 256 }, (_, i) => srgbCurve(i / 255));
/** sRGB codes 0–255 of linear light in steps of 1/4096 of its square root, where the curve is nearly straight. */
const CODES = Float64Array.from({ length: 4098 }, (_, i) => 255 * encodeSrgb((i / 4096) ** 2));

function codeOf(linear: number): number {
  const at = 4096 * Math.sqrt(Math.max(0, Math.min(1, linear)));
  const below = Math.floor(at);
  return CODES[below] + (at - below) * (CODES[below + 1] - CODES[below]);
}

const ROUNDS = 6;
/** Relative error of the mean light at which no further round is needed. */
const CLOSE = 2e-4;

/**
 * Pixels whose mean light over the mask is `aim`: scaled per XYZ, which keeps black black and the texture's contrast.
 * Rounding and clipping are part of what is measured and made up for.
 */
function withMean(
  pcs: Float32Array,
  mask: Uint8Array,
  width_px: number,
  aim: Vec3,
  { fromPcs, toPcs }: OutputSpace,
): Pick<PanelCrop, 'rgb' | 'shown_lab' | 'clipped_fraction'> {
  const count = mask.length;
  const rgb = new Uint8Array(3 * count);
  const scale = [1, 1, 1];
  const all = maskedMean(pcs, mask);
  for (let c = 0; c < 3; c++) scale[c] = aim[c] / Math.max(1e-6, all[c]);
  let shown: Vec3 = aim;
  let clipped = 0;
  for (let round = 0; round < ROUNDS; round++) {
    const sum = [0, 0, 0];
    let used = 0;
    clipped = 0;
    for (let i = 0; i < count; i++) {
      const linear = multiply3(fromPcs, [
        scale[0] * pcs[3 * i],
        scale[1] * pcs[3 * i + 1],
        scale[2] * pcs[3 * i + 2],
      ]);
      if (!isWithin(linear)) clipped++;
      const threshold = BAYER[8 * (Math.floor(i / width_px) & 7) + ((i % width_px) & 7)];
      for (let c = 0; c < 3; c++) {
        const v = Math.min(255, Math.floor(codeOf(linear[c]) + threshold));
        rgb[3 * i + c] = v;
        if (mask[i]) sum[c] += DECODED[v];
      }
      used += mask[i];
    }
    shown = multiply3(toPcs, sum.map((s) => s / Math.max(1, used)) as unknown as Vec3);
    if (shown.every((v, c) => Math.abs(v / aim[c] - 1) < CLOSE)) break;
    for (let c = 0; c < 3; c++) scale[c] *= Math.min(2, Math.max(0.5, aim[c] / Math.max(1e-6, shown[c])));
  }
  return { rgb, shown_lab: labFromXyz(shown, PCS_WHITE), clipped_fraction: clipped / count };
}

function maskedMean(pcs: Float32Array, mask: Uint8Array): Vec3 {
  const sum = [0, 0, 0];
  let used = 0;
  for (let i = 0; i < mask.length; i++) {
    if (!mask[i]) continue;
    used++;
    for (let c = 0; c < 3; c++) sum[c] += pcs[3 * i + c];
  }
  return sum.map((s) => s / Math.max(1, used)) as unknown as Vec3;
}
