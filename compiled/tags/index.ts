/**
 * The loops that find a card's tags: AssemblyScript, see README.md. `src/core/card/find/tag-code.ts` lays the memory out and calls them.
 */
import { isDarkInside, fitQuad } from './outline-quad';
import { findAreas, followArea } from './outlines';

export { cellBytes, isPlain, readCells } from './cells';
export { nearestCode } from './codes';
export { fitBytes, fitSquare } from './edges';
export { missed, usePhoto } from '../photo-part';
export { reduceRow } from './level';
export { areaBytes, outlineBytes } from './outlines';
export { markDark, thresholdBytes } from './threshold';

export function firstFree(): usize {
  return __heap_base;
}

/**
 * Finds the dark quadrilaterals on brighter ground among a level's dark pixels, which have so many runs, and writes their corners, one
 * behind the other. Hands back how many there are.
 */
export function findQuads(
  level: usize,
  width: i32,
  height: i32,
  dark: usize,
  runCount: i32,
  areas: usize,
  outline: usize,
  quads: usize,
  lines: usize,
): i32 {
  const areaCount = findAreas(dark, width, height, runCount, areas);
  let count = 0;
  for (let a = 0; a < areaCount; a++) {
    const length = followArea(a, dark, width, height, outline);
    const quad = quads + 64 * <usize>count;
    if (length > 0 && fitQuad(outline, length, quad, lines) && isDarkInside(level, width, height, quad))
      count++;
  }
  return count;
}
