/** Virtual things of other makes than the panels that the map is trained on. */
import type { Make } from './paint.ts';
import { virtualGrounds } from './virtual-grounds.ts';
import { virtualPaints } from './virtual-paints.ts';

const OTHERS: Readonly<Record<Make, () => readonly Float64Array[]>> = {
  ground: virtualGrounds,
  any: virtualPaints,
};

export function virtualOthers(make: Make): readonly Float64Array[] {
  return OTHERS[make]();
}
