import type { Lab, WhiteName } from '../color/index.ts';
import type { Vec3 } from '../math/linear.ts';
import { OUTPUT_SPACE, shownColour } from './crop/output-space.ts';

/** A colour as a screen can show it. */
export interface ScreenColour {
  /** `#rrggbb`, sRGB. */
  readonly hex: string;
  /** False when the screen can't show it and a paler one of the same lightness and hue stands in. */
  readonly isWithinScreen: boolean;
}

/** sRGB (IEC 61966-2-1) of a CIELAB colour, adapted from its white to the screen's by the linear Bradford transform. */
export function screenColour(lab: Lab, white: WhiteName): ScreenColour {
  const { rgb, isWithin } = shownColour(lab, white, OUTPUT_SPACE.sRGB);
  return { hex: hexOf(rgb), isWithinScreen: isWithin };
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
