/** Face and flop: how far a panel's colour travels between square-on and turned away. */
import { type Lab, lchDifference } from '../color/index.ts';
import { differenceOfDraws } from '../compare/difference-of-draws.ts';
import { directionWords } from '../compare/direction.ts';
import type { Tolerances } from '../compare/index.ts';
import type { LabEnsemble } from '../correction/index.ts';
import { differenceTold } from './drawn-difference.ts';
import type { Travel } from './types.ts';
import { travelWords } from './words.ts';

/** From this travel on a coat is called an effect coat: solid paint under one light stays well below; common practice, no source. */
const EFFECT_DE00 = 4;

/** Members of an ensemble: a panel's face and its flop. */
export interface FaceAndFlop {
  readonly panel: string;
  readonly face: { readonly photo: string; readonly member: number };
  readonly flop: { readonly photo: string; readonly member: number };
}

/** The travel of one panel. Both colours should be told under one white or in lights of one kind. */
export function travelOf(
  colours: LabEnsemble,
  { panel, face, flop }: FaceAndFlop,
  tolerances: Tolerances,
): Travel {
  const [a, b] = [colours.lab[face.member], colours.lab[flop.member]];
  const told = differenceTold(colours, flop.member, face.member);
  const effect = told.interval95[0] >= EFFECT_DE00;
  const way = told.significant
    ? directionWords(b, a, differenceOfDraws(colours, flop.member, face.member), tolerances)
    : '';
  return {
    panel,
    face: { photo: face.photo, lab: a },
    flop: { photo: flop.photo, lab: b },
    de00: told.de00,
    interval95: told.interval95,
    ...lchDifference(b, a),
    effect,
    words: travelWords(a, b, effect, told.significant, way),
  };
}

/** Chroma below which a hue says nothing, and the turn of hue from which a flop may be of another panel. */
const COLOURED = 15;
const OTHER_HUE_DEG = 70;

/** True where the flop's hue is so far from the face's that it may be another panel (or a colour-travelling pearl). */
export function looksLikeAnother(face: Lab, flop: Lab): boolean {
  const chromas = [Math.hypot(face[1], face[2]), Math.hypot(flop[1], flop[2])];
  if (Math.min(...chromas) < COLOURED) return false;
  const turn = Math.abs(Math.atan2(face[2], face[1]) - Math.atan2(flop[2], flop[1]));
  return (Math.min(turn, 2 * Math.PI - turn) * 180) / Math.PI > OTHER_HUE_DEG;
}
