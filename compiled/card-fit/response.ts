/** The response of a camera under the fit's unknowns: modes over encoded values, on even nodes between which all is linear. */
import { at, behind, put } from '../numbers';

let modes: i32 = 0;
let nodes: i32 = 0;
/** One row a mode, behind them the mean, and behind that ln of the decoded values. */
let table: usize = 0;
/** Per node, ln(light) − ln(decoded value) under the unknowns. */
let bent: usize = 0;

export function beginResponse(rows: usize, room: usize, modeCount: i32, nodeCount: i32): void {
  table = rows;
  bent = room;
  modes = modeCount;
  nodes = nodeCount;
}

/** Bends the response as the unknowns say. */
export function bendResponse(theta: usize): void {
  for (let i = 0; i < nodes; i++) put(bent, i, at(table, modes * nodes + i));
  for (let k = 0; k < modes; k++) {
    const t = at(theta, k);
    if (t === 0) continue;
    const mode = behind(table, k * nodes);
    for (let i = 0; i < nodes; i++) put(bent, i, at(bent, i) + t * at(mode, i));
  }
}

/** A row's value at a place, in nodes from the first on. */
function valueAt(row: usize, place: f64): f64 {
  const i = min<i32>(<i32>place, nodes - 2);
  const before = at(row, i);
  return before + (place - <f64>i) * (at(row, i + 1) - before);
}

/** ln(light) − ln(decoded value) at a place. */
export function responseAt(place: f64): f64 {
  return valueAt(bent, place);
}

/** A mode's value at a place. */
export function modeAt(mode: i32, place: f64): f64 {
  return valueAt(behind(table, mode * nodes), place);
}

/** ln(light) at a node. */
function lightAt(node: i32): f64 {
  return at(bent, node) + at(table, (modes + 1) * nodes + node);
}

/** The place of a light, given as its ln, looked for from a place near by. */
export function placeOf(light: f64, near: f64): f64 {
  let i = min<i32>(<i32>near, nodes - 2);
  while (i < nodes - 2 && lightAt(i + 1) < light) i++;
  while (i > 0 && lightAt(i) > light) i--;
  const before = lightAt(i);
  const step = lightAt(i + 1) - before;
  const share = step > 0 ? (light - before) / step : 0.5;
  return <f64>i + min<f64>(1, max<f64>(0, share));
}
