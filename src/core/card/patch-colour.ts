import { type Lab, labFromReflectance, toGrid, viewing } from '../color/index.ts';
import type { CardPatch } from './types.ts';

/** CIELAB of a patch under its card's white: as stated, else from its spectrum. */
export function labOfPatch(patch: CardPatch, white: string): Lab {
  if (patch.lab) return patch.lab;
  if (patch.spectrum) return labFromReflectance(toGrid(patch.spectrum), viewing(white));
  throw new RangeError(`patch ${patch.id} has neither lab nor spectrum`);
}
