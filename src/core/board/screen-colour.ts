import { type Lab, viewing, type WhiteName, xyzFromLab } from '../color/index.ts';
import { invert3, multiply3, type Vec3 } from '../math/linear.ts';
import { bradford, PCS_WHITE, pcsFromPrimaries, SRGB_PRIMARIES } from '../photo/primaries.ts';

/** A colour as a screen can show it. */
export interface ScreenColour {
  /** `#rrggbb`, sRGB. */
  readonly hex: string;
  /** False when the screen can't show it and a paler one of the same lightness and hue stands in. */
  readonly isWithinScreen: boolean;
}

const SRGB_FROM_D50 = invert3(pcsFromPrimaries(SRGB_PRIMARIES));
/** Overshoot that an 8 bit value can't show. */
const SLACK = 0.002;

/** sRGB (IEC 61966-2-1) of a CIELAB colour, adapted from its white to the screen's by the linear Bradford transform. */
export function screenColour(lab: Lab, white: WhiteName): ScreenColour {
  const own = viewing(white).white;
  const toD50 = bradford(own, PCS_WHITE);
  const linear = (part: number): Vec3 =>
    multiply3(SRGB_FROM_D50, multiply3(toD50, xyzFromLab([lab[0], lab[1] * part, lab[2] * part], own)));
  const shows = (rgb: Vec3): boolean => rgb.every((v) => v >= -SLACK && v <= 1 + SLACK);
  const exact = linear(1);
  if (shows(exact)) return { hex: hexOf(exact), isWithinScreen: true };
  let inside = 0;
  let outside = 1;
  for (let i = 0; i < 16; i++) {
    const middle = (inside + outside) / 2;
    if (shows(linear(middle))) inside = middle;
    else outside = middle;
  }
  return { hex: hexOf(linear(inside)), isWithinScreen: false };
}

/** sRGB's transfer curve (IEC 61966-2-1), linear 0–1 to encoded 0–1. */
export function encodeSrgb(linear: number): number {
  const v = Math.max(0, Math.min(1, linear));
  return v <= 0.0031308 ? 12.92 * v : 1.055 * v ** (1 / 2.4) - 0.055;
}

function hexOf(rgb: Vec3): string {
  return `#${rgb
    .map((v) =>
      Math.round(255 * encodeSrgb(v))
        .toString(16)
        .padStart(2, '0'),
    )
    .join('')}`;
}
