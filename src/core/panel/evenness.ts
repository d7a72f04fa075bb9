import { deltaE2000, type Lab } from '../color/index.ts';

/**
 * How even a panel is: the mean CIEDE2000 of its cells' colours to their mean. 0 for fewer than two cells. Part of it
 * is the photo's own noise in a cell, some .1 to .3.
 */
export function evennessOf(cellLabs: readonly Lab[]): number {
  if (cellLabs.length < 2) return 0;
  const per = 1 / cellLabs.length;
  const mean = [0, 0, 0];
  for (const lab of cellLabs) for (let k = 0; k < 3; k++) mean[k] += per * lab[k];
  const middle: Lab = [mean[0], mean[1], mean[2]];
  return cellLabs.reduce((sum, lab) => sum + per * deltaE2000(lab, middle), 0);
}
