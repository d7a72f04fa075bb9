/**
 * The loops over the pixels of one area of a photo: AssemblyScript, see README.md. `src/core/photo/area-code.ts` lays the memory
 * out and calls them; what they are for stands with the functions of `src/core/photo/sample-*.ts` that are named here.
 */

export { use } from './area';
export { evenFallOff, fallOffBytes, fitFallOff } from './fall-off';
export { countKinds, markSpecks, quartilesOf } from './specks';
export { addCells, addSums, variances } from './sums';
export { addTileSquares, addTiles, markTiles, undoFallOff } from './tiles';
export { findSpans, keepCovered, visit } from './visit';

export function firstFree(): usize {
  return __heap_base;
}
