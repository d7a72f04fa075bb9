/** One patch's row of the fit: what the unknowns make of it, and how far that is from what was read. */
import { factorise } from '../linear';
import { exp, hypot, log } from '../math';
import { at, behind, put } from '../numbers';
import {
  base,
  byMode,
  cameraModes,
  constants,
  curveModes,
  field,
  fieldTerms,
  linear,
  N,
  noise,
  own,
  ownCount,
  places,
  printModes,
  shared,
  size,
  theta,
  usable,
} from './layout';
import { modeAt, placeOf, responseAt } from './response';

/** Smallest error of a channel, of paper's light, and what the model misses of all channels alike, of the light. */
const READ_FLOOR: f64 = 0.0004;
const COMMON_MISFIT: f64 = 0.005;
/** Least light that is told from none, in the file's own primaries. */
const LEAST_LIGHT: f64 = 1e-6;
/** How many times as light or as dark as it was read a reading may be expected: what is farther off is no error of a print. */
const FARTHEST: f64 = 3;
/** A patch farther off than this, in standard deviations, weighs less. */
const ROBUST_DISTANCE: f64 = 3.5;

function dot(sensitivities: usize, channel: i32, spectrum: usize): f64 {
  let s: f64 = 0;
  const from = behind(sensitivities, channel * N);
  for (let i = 0; i < N; i++) s += at(from, i) * at(spectrum, i);
  return s;
}

/** 3 × 3 covariance of a patch's readings, before gain and field, from what it may be off by itself. */
function writeOwnCovariance(sensitivities: usize, into: usize): void {
  for (let i = 0; i < 9; i++) put(into, i, 0);
  for (let m = 0; m < ownCount; m++) {
    const mode = behind(own, m * N);
    const r = dot(sensitivities, 0, mode);
    const g = dot(sensitivities, 1, mode);
    const b = dot(sensitivities, 2, mode);
    put(into, 0, at(into, 0) + r * r);
    put(into, 1, at(into, 1) + r * g);
    put(into, 2, at(into, 2) + r * b);
    put(into, 3, at(into, 3) + g * r);
    put(into, 4, at(into, 4) + g * g);
    put(into, 5, at(into, 5) + g * b);
    put(into, 6, at(into, 6) + b * r);
    put(into, 7, at(into, 7) + b * g);
    put(into, 8, at(into, 8) + b * b);
  }
}

/** Light of the record's patch under the response of the unknowns, in the file's own primaries. */
function litChannel(channel: i32): f64 {
  const l = at(linear, channel);
  return curveModes === 0 ? l : l * exp(responseAt(at(places, channel)));
}

/**
 * How the response moves the record's patch, at the reading that is expected of it. At the one that was read, whatever is wrong with
 * the patch would move the slope too, and patches that read too light would pull harder than those that read too dark: with
 * prints 2 ΔE off, that made panels 2 L* too light. `lit` holds what was read.
 */
function writeResponseJacobian(expected: usize, lit: usize, jacobian: usize): void {
  if (curveModes === 0) return;
  for (let s = 0; s < 3; s++) {
    let light: f64 = 0;
    for (let c = 0; c < 3; c++)
      light += at(constants, 15 + 3 * s + c) * at(expected, c) * at(constants, 9 + c);
    const read = at(lit, s);
    put(lit, s, max<f64>(LEAST_LIGHT, min<f64>(FARTHEST * read, max<f64>(read / FARTHEST, light))));
  }
  for (let s = 0; s < 3; s++) {
    const light = at(lit, s);
    const place = placeOf(log(light), at(places, s));
    for (let k = 0; k < curveModes; k++) {
      const change = light * modeAt(k, place);
      for (let c = 0; c < 3; c++) {
        const to = behind(jacobian, c * size);
        put(to, k, at(to, k) + (at(constants, 3 * c + s) / at(constants, 9 + c)) * change);
      }
    }
  }
}

/**
 * The record's patch: its residual and Jacobian, whitened by what they scatter; `misfit` is the relative one of a channel. False when
 * they have no scatter.
 */
export function writeRow(row: usize, sensitivities: usize, printing: usize, work: usize, misfit: f64): bool {
  const residual = behind(row, 2);
  const through = behind(row, 5);
  const scatter = behind(row, 8);
  const jacobian = behind(row, 17);
  const expected = work;
  const covariance = behind(work, 9);
  const lit = behind(work, 18);
  const gains = curveModes + cameraModes;
  const fields = gains + 6;
  const prints = fields + fieldTerms;
  const gainSd = at(constants, 12);
  const flareMean = at(constants, 13);
  const flareSd = at(constants, 14);
  for (let k = 0; k < printModes; k++)
    for (let c = 0; c < 3; c++) put(printing, 3 * k + c, dot(sensitivities, c, behind(shared, k * N)));
  for (let c = 0; c < 3; c++) put(lit, c, litChannel(c));
  for (let i = 0; i < 3 * size; i++) put(jacobian, i, 0);
  for (let c = 0; c < 3; c++) {
    const light =
      at(constants, 3 * c) * at(lit, 0) +
      at(constants, 3 * c + 1) * at(lit, 1) +
      at(constants, 3 * c + 2) * at(lit, 2);
    const scale = at(constants, 9 + c);
    const gain = exp(gainSd * at(theta, gains + c));
    const flare = flareMean + flareSd * at(theta, gains + 3 + c);
    let seen = at(base, c);
    for (let k = 0; k < cameraModes; k++) seen += at(theta, curveModes + k) * at(byMode, 3 * k + c);
    for (let k = 0; k < printModes; k++) seen += at(theta, prints + k) * at(printing, 3 * k + c);
    const terms = behind(field, c * fieldTerms);
    let logField: f64 = 0;
    for (let k = 0; k < fieldTerms; k++) logField += at(terms, k) * at(theta, fields + k);
    const times = gain * exp(logField);
    const plain = times * seen;
    put(through, c, times);
    put(expected, c, plain + flare);
    put(residual, c, light / scale - at(expected, c));
    const to = behind(jacobian, c * size);
    for (let k = 0; k < cameraModes; k++) put(to, curveModes + k, -times * at(byMode, 3 * k + c));
    put(to, gains + c, -gainSd * plain);
    put(to, gains + 3 + c, -flareSd);
    for (let k = 0; k < fieldTerms; k++) put(to, fields + k, -plain * at(terms, k));
    for (let k = 0; k < printModes; k++) put(to, prints + k, -times * at(printing, 3 * k + c));
  }
  writeResponseJacobian(expected, lit, jacobian);
  writeOwnCovariance(sensitivities, covariance);
  addNoise(covariance, expected, through, misfit);
  return whiten(row, covariance, residual, scatter, jacobian);
}

/** Covariance of a patch's readings: its own print's as it is seen, what the model misses, and noise. */
function addNoise(covariance: usize, expected: usize, through: usize, misfit: f64): void {
  for (let a = 0; a < 3; a++) {
    for (let b = 0; b < 3; b++)
      put(
        covariance,
        3 * a + b,
        at(through, a) * at(through, b) * at(covariance, 3 * a + b) +
          COMMON_MISFIT * COMMON_MISFIT * at(expected, a) * at(expected, b),
      );
    const n = at(noise, a) / at(constants, 9 + a);
    const missed = misfit * at(expected, a);
    let variance = missed * missed + READ_FLOOR * READ_FLOOR + n * n;
    // a clipped or empty channel says nothing
    if (at(usable, a) === 0) variance += 1e4;
    put(covariance, 4 * a, at(covariance, 4 * a) + variance);
  }
}

/** Whitens residual and Jacobian by the Cholesky factor of their covariance and weighs outliers down. */
function whiten(row: usize, covariance: usize, residual: usize, l: usize, jacobian: usize): bool {
  for (let i = 0; i < 9; i++) put(l, i, 0);
  if (!factorise(covariance, 3, 0, l)) return false;
  for (let c = 0; c < 3; c++) {
    let r = at(residual, c);
    for (let d = 0; d < c; d++) r -= at(l, 3 * c + d) * at(residual, d);
    put(residual, c, r / at(l, 4 * c));
    const inverse = 1 / at(l, 4 * c);
    for (let k = 0; k < size; k++) {
      let v = at(jacobian, c * size + k);
      for (let d = 0; d < c; d++) v -= at(l, 3 * c + d) * at(jacobian, d * size + k);
      put(jacobian, c * size + k, v * inverse);
    }
  }
  const distance = hypot(at(residual, 0), at(residual, 1), at(residual, 2));
  put(row, 0, distance > ROBUST_DISTANCE ? ROBUST_DISTANCE / distance : 1);
  put(row, 1, 2 * (log(at(l, 0)) + log(at(l, 4)) + log(at(l, 8))));
  return true;
}
