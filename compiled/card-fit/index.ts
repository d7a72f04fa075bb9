/**
 * One Gauss–Newton step of the fit to a photo's card patches: AssemblyScript, see README.md. `src/core/correction/fit-code.ts` lays the
 * memory out and calls it; what is fitted stands in `src/core/correction/fit-model.ts`. All numbers are f64, all matrices row-major.
 */

import { factorise, solve } from '../linear';
import { at, behind, put } from '../numbers';
import {
  camera,
  cameraModes,
  curveModes,
  factor,
  gradient,
  information,
  N,
  printModes,
  readRecord,
  records,
  room,
  rows,
  size,
  theta,
} from './layout';
import { bendResponse } from './response';
import { writeRow } from './row';

export { begin } from './layout';

export function firstFree(): usize {
  return __heap_base;
}

function writeSensitivities(into: usize): void {
  for (let i = 0; i < 3 * N; i++) put(into, i, at(camera, i));
  for (let k = 0; k < cameraModes; k++) {
    const t = at(theta, curveModes + k);
    if (t === 0) continue;
    const mode = behind(camera, 3 * N * (k + 1));
    for (let i = 0; i < 3 * N; i++) put(into, i, at(into, i) + t * at(mode, i));
  }
}

/** Adds what a patch's three channels say to the gradient and to the information's lower triangle. */
function addRow(row: usize): void {
  const weight = at(row, 0);
  const residual = behind(row, 2);
  const red = behind(row, 17);
  const green = behind(red, size);
  const blue = behind(green, size);
  for (let i = 0; i < size; i++) {
    const r = weight * at(red, i);
    const g = weight * at(green, i);
    const b = weight * at(blue, i);
    put(gradient, i, at(gradient, i) + (r * at(residual, 0) + g * at(residual, 1) + b * at(residual, 2)));
    const to = behind(information, i * size);
    for (let j = 0; j <= i; j++)
      put(to, j, at(to, j) + (r * at(red, j) + g * at(green, j) + b * at(blue, j)));
  }
}

/**
 * Works out every patch's row and the normal equations where the unknowns stand, and leaves in `gradient` how far they are to move
 * (against its sign). False when the equations have no solution.
 */
export function step(patches: i32, misfit: f64): bool {
  const sensitivities = room;
  const printing = behind(room, 3 * N);
  const work = behind(printing, 3 * printModes);
  writeSensitivities(sensitivities);
  bendResponse(theta);
  for (let i = 0; i < size * size; i++) {
    put(information, i, 0);
    put(factor, i, 0);
  }
  for (let i = 0; i < size; i++) put(gradient, i, at(theta, i));
  let record = records;
  let row = rows;
  for (let p = 0; p < patches; p++) {
    record = readRecord(record);
    if (!writeRow(row, sensitivities, printing, work, misfit)) return false;
    addRow(row);
    row = behind(row, 17 + 3 * size);
  }
  // the unknowns' own prior, N(0, 1)
  for (let i = 0; i < size; i++) put(information, i * size + i, at(information, i * size + i) + 1);
  for (let i = 0; i < size; i++)
    for (let j = 0; j < i; j++) put(information, j * size + i, at(information, i * size + j));
  if (!factorise(information, size, 0, factor)) return false;
  solve(factor, size, gradient);
  return true;
}
