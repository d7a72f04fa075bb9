/** What the fit works on: how many unknowns there are, where its arrays lie, and the patch whose turn it is. */
import { behind } from '../numbers';
import { beginResponse } from './response';

/** Values of a spectrum. */
export const N: i32 = 36;

// how many there are of each kind of unknown, in their order among the unknowns, and of all

export let curveModes: i32 = 0;
export let cameraModes: i32 = 0;
export let fieldTerms: i32 = 0;
export let printModes: i32 = 0;
export let size: i32 = 0;

// what lies where, in the order of `begin`

/** To linear sRGB (9), scale (3), the gain's deviation, the flare's mean and deviation, from linear sRGB (9). */
export let constants: usize = 0;
/** Sensitivities: their mean, 3 × 36, and behind it the modes. */
export let camera: usize = 0;
/** One record a patch, see `readRecord`. */
export let records: usize = 0;
export let theta: usize = 0;
/** Per patch: weight, ln of the scatter's determinant, residual (3), through (3), scatter (9), Jacobian (3 × size). */
export let rows: usize = 0;
export let information: usize = 0;
export let factor: usize = 0;
export let gradient: usize = 0;
/** Room for sensitivities (3 × 36), the print's readings (printModes × 3), and three times 9 numbers. */
export let room: usize = 0;

// a patch's record

export let linear: usize = 0;
export let base: usize = 0;
export let noise: usize = 0;
export let usable: usize = 0;
export let byMode: usize = 0;
/** Where the channels stand on the response: encoded values, in its nodes. */
export let places: usize = 0;
export let field: usize = 0;
export let shared: usize = 0;
export let ownCount: i32 = 0;
export let own: usize = 0;

/** Takes over a list of addresses, u32 each, and how many unknowns there are of each kind, the response's on so many nodes. */
export function begin(table: usize, curves: i32, nodes: i32, cameras: i32, fields: i32, prints: i32): void {
  constants = load<u32>(table);
  camera = load<u32>(table, 4);
  records = load<u32>(table, 8);
  theta = load<u32>(table, 12);
  rows = load<u32>(table, 16);
  information = load<u32>(table, 20);
  factor = load<u32>(table, 24);
  gradient = load<u32>(table, 28);
  room = load<u32>(table, 32);
  beginResponse(load<u32>(table, 36), load<u32>(table, 40), curves, nodes);
  curveModes = curves;
  cameraModes = cameras;
  fieldTerms = fields;
  printModes = prints;
  size = curves + cameras + 6 + fields + prints;
}

/** Takes over a patch's record, and hands back where the next begins. */
export function readRecord(record: usize): usize {
  linear = record;
  base = behind(linear, 3);
  noise = behind(base, 3);
  usable = behind(noise, 3);
  byMode = behind(usable, 3);
  places = behind(byMode, 3 * cameraModes);
  field = behind(places, 3);
  shared = behind(field, 3 * fieldTerms);
  const count = behind(shared, printModes * N);
  ownCount = <i32>load<f64>(count);
  own = behind(count, 1);
  return behind(own, ownCount * N);
}
