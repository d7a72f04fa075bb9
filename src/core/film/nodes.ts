import { GRID, type Lab, labFromXyz, type Viewing, viewing, type WhiteName } from '../color/index.ts';
import { NODES, NODES_NM } from './node-grid.ts';

/** Weights of X, Y, Z (3 × NODES, row-major, each over the white's value) for reflectance linear between nodes. */
export interface NodeViewing {
  readonly weights: Float64Array;
  readonly under: Viewing;
}

const cache = new Map<WhiteName, NodeViewing>();

export function nodeViewing(white: WhiteName): NodeViewing {
  const known = cache.get(white);
  if (known) return known;
  const under = viewing(white);
  const weights = new Float64Array(3 * NODES);
  const first = NODES_NM[0];
  const step = NODES_NM[1] - first;
  for (let i = 0; i < GRID.count; i++) {
    const x = (GRID.start_nm + i * GRID.step_nm - first) / step;
    const at = Math.min(NODES - 1, Math.max(0, x));
    const left = Math.min(NODES - 2, Math.floor(at));
    for (let c = 0; c < 3; c++) {
      const w = under.weights[c][i] / under.white[c];
      weights[c * NODES + left] += w * (left + 1 - at);
      weights[c * NODES + left + 1] += w * (at - left);
    }
  }
  const made = { weights, under };
  cache.set(white, made);
  return made;
}

const EDGE = (6 / 29) ** 3;
const SLOPE = 841 / 108;

/** Derivative of CIELAB's response. */
function slopeAt(t: number): number {
  if (t <= EDGE) return SLOPE;
  const root = Math.cbrt(t);
  return 1 / (3 * root * root);
}

/** CIELAB of a reflectance at the nodes, and, when asked for, its derivatives (3 × NODES, row-major). */
export function labOfNodes(
  reflectance: Float64Array,
  { weights, under }: NodeViewing,
  derivative?: Float64Array,
): Lab {
  const ratio: [number, number, number] = [0, 0, 0];
  for (let c = 0; c < 3; c++) {
    let sum = 0;
    for (let n = 0; n < NODES; n++) sum += weights[c * NODES + n] * reflectance[n];
    ratio[c] = sum;
  }
  if (derivative) {
    const dx = slopeAt(ratio[0]);
    const dy = slopeAt(ratio[1]);
    const dz = slopeAt(ratio[2]);
    for (let n = 0; n < NODES; n++) {
      const x = weights[n] * dx;
      const y = weights[NODES + n] * dy;
      const z = weights[2 * NODES + n] * dz;
      derivative[n] = 116 * y;
      derivative[NODES + n] = 500 * (x - y);
      derivative[2 * NODES + n] = 200 * (y - z);
    }
  }
  const w = under.white;
  return labFromXyz([ratio[0] * w[0], ratio[1] * w[1], ratio[2] * w[2]], w);
}
