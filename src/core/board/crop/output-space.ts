/** The RGB spaces that board pictures are written in, and what of a colour they can show. */
import { type Lab, viewing, type WhiteName, xyzFromLab } from '../../color/index.ts';
import { compose3, invert3, type Mat3, multiply3, type Vec3 } from '../../math/linear.ts';
import {
  bradford,
  PCS_WHITE,
  pcsFromPrimaries,
  type RgbPrimaries,
  SRGB_PRIMARIES,
} from '../../photo/primaries.ts';

export const OUTPUT_SPACES = ['sRGB', 'Display P3'] as const;
export type OutputSpaceName = (typeof OUTPUT_SPACES)[number];

/** Both have sRGB's transfer curve. */
export interface OutputSpace {
  readonly name: OutputSpaceName;
  /** Linear RGB to XYZ under D50, white at Y = 1, and back. */
  readonly toPcs: Mat3;
  readonly fromPcs: Mat3;
}

/** Display P3: primaries of SMPTE RP 431-2, white D65, sRGB's curve (ICC registry, Display P3). */
const DISPLAY_P3_PRIMARIES: RgbPrimaries = {
  red: [0.68, 0.32],
  green: [0.265, 0.69],
  blue: [0.15, 0.06],
  white: [0.3127, 0.329],
};

function spaceOf(name: OutputSpaceName, primaries: RgbPrimaries): OutputSpace {
  const toPcs = pcsFromPrimaries(primaries);
  return { name, toPcs, fromPcs: invert3(toPcs) };
}

export const OUTPUT_SPACE: Readonly<Record<OutputSpaceName, OutputSpace>> = {
  sRGB: spaceOf('sRGB', SRGB_PRIMARIES),
  'Display P3': spaceOf('Display P3', DISPLAY_P3_PRIMARIES),
};

/** Overshoot that an 8 bit value can't show. */
const SLACK = 0.002;

export function isWithin(rgb: Vec3): boolean {
  return rgb.every((v) => v >= -SLACK && v <= 1 + SLACK);
}

/** XYZ under D50 of CIELAB colours, adapted from their own white by the linear Bradford transform. */
export function pcsFromLab(white: WhiteName): (lab: Lab) => Vec3 {
  const own = viewing(white).white;
  const adapted = bradford(own, PCS_WHITE);
  return (lab) => multiply3(adapted, xyzFromLab(lab, own));
}

export interface ShownColour {
  /** XYZ under D50 of what is shown. */
  readonly pcs: Vec3;
  /** Linear, 0–1. */
  readonly rgb: Vec3;
  /** False when the space can't show the colour and a paler one of the same lightness and hue stands in. */
  readonly isWithin: boolean;
}

/** A colour as a space can show it: itself, or the strongest of the same CIELAB lightness and hue angle. */
export function shownColour(lab: Lab, white: WhiteName, space: OutputSpace): ShownColour {
  const own = viewing(white).white;
  const fromOwn = compose3(space.fromPcs, bradford(own, PCS_WHITE));
  const linear = (part: number): Vec3 =>
    multiply3(fromOwn, xyzFromLab([lab[0], lab[1] * part, lab[2] * part], own));
  const shown = (rgb: Vec3, within: boolean): ShownColour => ({
    pcs: multiply3(space.toPcs, rgb),
    rgb,
    isWithin: within,
  });
  const exact = linear(1);
  if (isWithin(exact)) return shown(exact, true);
  let inside = 0;
  let outside = 1;
  for (let i = 0; i < 16; i++) {
    const middle = (inside + outside) / 2;
    if (isWithin(linear(middle))) inside = middle;
    else outside = middle;
  }
  return shown(linear(inside), false);
}
