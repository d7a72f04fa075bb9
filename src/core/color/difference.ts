import { differenceCiede2000, modeLab65, useMode } from 'culori/fn';
import type { Lab } from './lab.ts';

// culori measures in its `lab65` mode; readings already in that mode pass through unconverted, whatever their white
useMode(modeLab65);
const ciede2000 = differenceCiede2000(1, 1, 1);

/** CIEDE2000 colour difference, kL = kC = kH = 1 (ISO/CIE 11664-6; Sharma, Wu and Dalal 2005). */
export function deltaE2000(a: Lab, b: Lab): number {
  return ciede2000(
    { mode: 'lab65', l: a[0], a: a[1], b: a[2] },
    { mode: 'lab65', l: b[0], a: b[1], b: b[2] },
  );
}

/** Lightness, chroma and hue differences, a minus b, with dL² + dC² + dH² = ΔE*ab². */
export interface LchDifference {
  readonly dL: number;
  readonly dC: number;
  readonly dH: number;
}

/** dL, dC, dH of a minus b (CIE 15:2018, 8.2.1). dH is positive when a's hue angle lies counter-clockwise of b's. */
export function lchDifference(a: Lab, b: Lab): LchDifference {
  const ca = Math.hypot(a[1], a[2]);
  const cb = Math.hypot(b[1], b[2]);
  const turn = b[1] * a[2] - b[2] * a[1];
  const cos = a[1] * b[1] + a[2] * b[2];
  const dH = Math.sign(turn || 1) * Math.sqrt(Math.max(0, 2 * (ca * cb - cos)));
  return { dL: a[0] - b[0], dC: ca - cb, dH };
}
