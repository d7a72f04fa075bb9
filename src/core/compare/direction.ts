import type { Lab } from '../color/index.ts';
import type { DrawnDifference } from './difference-of-draws.ts';
import type { Tolerances } from './tolerances.ts';

/**
 * What a hue turns into when its angle grows and when it shrinks. Upper bound of each range in degrees of CIELAB hue.
 * Ranges lie around the unique hues (red 24°, yellow 90°, green 162°, blue 246°; Fairchild, Color Appearance Models);
 * the words are common practice, no source.
 */
const HUES: readonly (readonly [upTo_deg: number, growing: string, shrinking: string])[] = [
  [40, 'yellower', 'bluer'],
  [75, 'yellower', 'redder'],
  [105, 'greener', 'redder'],
  [145, 'greener', 'yellower'],
  [180, 'bluer', 'yellower'],
  [230, 'bluer', 'greener'],
  [270, 'more violet', 'greener'],
  [315, 'redder', 'bluer'],
  [345, 'redder', 'more violet'],
  [360, 'yellower', 'bluer'],
];
/** Below this chroma a colour is called by how it leans, not by hue and strength. */
const GREY_CHROMA = 6;
/** A direction is named when it carries at least this share of the difference … */
const NAMED_SHARE = 0.3;
/** … and when this share of the draws agrees on its sign. */
const SURE_SHARE = 0.85;

interface Direction {
  readonly word: string;
  /** How much it weighs in ΔE2000. */
  readonly size: number;
  readonly sure: boolean;
}

/** In which way `a` differs from `b`, largest first: "darker, redder, a little duller". Empty when nothing is sure. */
export function directionWords(a: Lab, b: Lab, difference: DrawnDifference, tolerances: Tolerances): string {
  const directions = directionsOf(a, b, difference);
  const total = Math.hypot(...directions.map((d) => d.size));
  return directions
    .filter((d) => d.sure && d.size >= NAMED_SHARE * total && d.size > 0)
    .sort((p, q) => q.size - p.size)
    .map((d) => withDegree(d, tolerances))
    .join(', ');
}

function directionsOf(a: Lab, b: Lab, { weighted, signShare }: DrawnDifference): readonly Direction[] {
  const [l, c, h] = weighted;
  const [sureL, sureC, sureH] = signShare.map((share) => share >= SURE_SHARE);
  const lightness = { word: l > 0 ? 'lighter' : 'darker', size: Math.abs(l), sure: sureL };
  const chromas = [Math.hypot(a[1], a[2]), Math.hypot(b[1], b[2])];
  if (Math.max(...chromas) < GREY_CHROMA) {
    const da = a[1] - b[1];
    const db = a[2] - b[2];
    const sure = Math.abs(c) > Math.abs(h) ? sureC : sureH;
    return [
      lightness,
      { word: da > 0 ? 'redder' : 'greener', size: Math.abs(da), sure },
      { word: db > 0 ? 'yellower' : 'bluer', size: Math.abs(db), sure },
    ];
  }
  // ΔE2000 stretches a* near grey, and may see more chroma where CIELAB sees less: then neither is said
  const isAgreed = Math.sign(c) === Math.sign(chromas[0] - chromas[1]);
  const strength = { word: c > 0 ? 'stronger' : 'duller', size: Math.abs(c), sure: sureC && isAgreed };
  // against a grey there is no hue to have turned
  if (Math.min(...chromas) < GREY_CHROMA) return [lightness, strength];
  return [lightness, { word: hueWord(b, h), size: Math.abs(h), sure: sureH }, strength];
}

/** What a colour's hue becomes when it turns by `turn` (ΔH*): "yellower". */
function hueWord(from: Lab, turn: number): string {
  const degrees = (Math.atan2(from[2], from[1]) * 180) / Math.PI;
  const hue = degrees < 0 ? degrees + 360 : degrees;
  const [, growing, shrinking] = HUES.find(([upTo]) => hue <= upTo) ?? HUES[0];
  return turn > 0 ? growing : shrinking;
}

function withDegree({ word, size }: Direction, { seen, accepted }: Tolerances): string {
  if (size < seen) return `a little ${word}`;
  return size > 2.5 * accepted ? `much ${word}` : word;
}
