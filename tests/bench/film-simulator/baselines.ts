/** What the film model has to beat: three channels instead of a spectrum, quadratic regression, and going by eye. */
import { deltaE2000 } from '../../../src/core/color/difference.ts';
import { cholesky, choleskySolve } from '../../../src/core/math/linear.ts';
import type { SimulatedJob } from './jobs.ts';
import type { Triple } from './spectra.ts';
import type { Spray } from './world.ts';

const WHITE: Triple = [0.9642, 1, 0.8251];
type Rows = readonly (readonly number[])[];
const apply = (m: Rows, v: readonly number[]): number[] =>
  m.map((row) => row[0] * v[0] + row[1] * v[1] + row[2] * v[2]);

/** Three channels, linear in XYZ under D50 and 1 for white, and the floor under a film in them. */
interface Channels {
  readonly fromXyz: Rows;
  readonly toXyz: Rows;
  readonly floor: number;
}

function ofWhiteOne(fromXyz: Rows, toXyz: Rows, floor: number): Channels {
  const white = apply(fromXyz, WHITE);
  return {
    fromXyz: fromXyz.map((row, c) => row.map((v) => v / white[c])),
    toXyz: toXyz.map((row) => row.map((v, c) => v * white[c])),
    floor,
  };
}

/** Linear sRGB (IEC 61966-2-1), adapted to D50 by Bradford: what Beer's law by channel is usually written in. */
const SRGB = ofWhiteOne(
  [
    [3.1338561, -1.6168667, -0.4906146],
    [-0.9787684, 1.9161415, 0.033454],
    [0.0719453, -0.2289914, 1.4052427],
  ],
  [
    [0.4360747, 0.3850649, 0.1430804],
    [0.2225045, 0.7168786, 0.0606169],
    [0.0139322, 0.0971045, 0.7141733],
  ],
  0,
);

/** Bradford's sharpened cones: narrower, so that Beer's law holds better in them; with light that meets no film. */
const CONES = ofWhiteOne(
  [
    [0.8951, 0.2664, -0.1614],
    [-0.7502, 1.7135, 0.0367],
    [0.0389, -0.0685, 1.0296],
  ],
  [
    [0.9869929, -0.1470543, 0.1599627],
    [0.4323053, 0.5183603, 0.0492912],
    [-0.0085287, 0.0400428, 0.9684867],
  ],
  0.015,
);

/** Channels of a ground; one outside the channels' gamut is clipped just above black, for Beer's law needs some light. */
function channelsOf({ fromXyz }: Channels, [l, a, b]: Triple): number[] {
  const expand = (f: number): number => (f > 6 / 29 ? f ** 3 : 3 * (6 / 29) ** 2 * (f - 4 / 29));
  const y = (l + 16) / 116;
  const xyz = [expand(y + a / 500), expand(y), expand(y - b / 200)].map((v, i) => v * WHITE[i]);
  return apply(fromXyz, xyz).map((v) => Math.max(1e-4, v));
}

function labOfChannels({ toXyz }: Channels, c: readonly number[]): Triple {
  const compress = (t: number): number =>
    t > (6 / 29) ** 3 ? Math.cbrt(t) : t / (3 * (6 / 29) ** 2) + 4 / 29;
  const [x, y, z] = apply(toXyz, c).map((v, i) => compress(Math.max(0, v) / WHITE[i]));
  return [116 * y - 16, 500 * (x - y), 200 * (y - z)];
}

export type Predictor = (spray: Spray) => Triple;

const film = (s: Spray, usual: number): number => (s.coats * (1 + usual)) / (1 + s.carrier);
const share = (s: Spray, t: number): number => s.parts[t] / (s.parts.reduce((a, b) => a + b, 0) || 1);

/** The usual three-channel film model: Beer's law in each channel of linear sRGB over the measured ground. */
export const threeChannels = (job: SimulatedJob): Predictor => beerByChannel(job, SRGB);

/** A stronger one: in sharpened cones, with a floor. */
export const threeSharpenedChannels = (job: SimulatedJob): Predictor => beerByChannel(job, CONES);

/** Beer's law in three channels over each measured ground; fitted in Lab. */
function beerByChannel(job: SimulatedJob, channels: Channels): Predictor {
  const tints = job.world.dyes.length;
  const usual = job.world.usualCarrier;
  const bare = job.world.grounds.map((_, g) =>
    channelsOf(
      channels,
      (job.panels.find((p) => p.spray.ground === g && p.spray.coats === 0) ?? job.panels[0]).lab,
    ),
  );
  const predictWith = (z: Float64Array, s: Spray): Triple => {
    const amount = film(s, usual);
    const floor = s.coats > 0 ? channels.floor : 0;
    return labOfChannels(
      channels,
      bare[s.ground].map((v, c) => {
        let a = 0;
        for (let t = 0; t < tints; t++) a += share(s, t) * Math.exp(z[3 * t + c]);
        return floor + (v - floor) * Math.exp(-amount * a);
      }),
    );
  };
  const sprayed = job.panels.filter((p) => p.spray.coats > 0);
  const z = fitLeastSquares(new Float64Array(3 * tints).fill(Math.log(0.4)), 0.05, (x) =>
    sprayed.flatMap((p) => predictWith(x, p.spray).map((v, c) => v - p.lab[c])),
  );
  return (s) => predictWith(z, s);
}

/** Gauss–Newton with a ridge towards the start and a step that halves until it helps. */
function fitLeastSquares(
  start: Float64Array,
  ridge: number,
  residuals: (x: Float64Array) => number[],
): Float64Array {
  const n = start.length;
  let x = start.slice();
  const costOf = (v: Float64Array): number =>
    residuals(v).reduce((s, r) => s + r * r, 0) + ridge * v.reduce((s, q, i) => s + (q - start[i]) ** 2, 0);
  let cost = costOf(x);
  for (let step = 0; step < 40; step++) {
    const r = residuals(x);
    const columns = Array.from({ length: n }, (_, j) => {
      const moved = x.slice();
      moved[j] += 1e-4;
      return residuals(moved).map((v, i) => (v - r[i]) / 1e-4);
    });
    const h = new Float64Array(n * n);
    const g = new Float64Array(n);
    for (let i = 0; i < n; i++) {
      g[i] = -columns[i].reduce((s, v, k) => s + v * r[k], 0) - ridge * (x[i] - start[i]);
      for (let j = 0; j < n; j++) h[i * n + j] = columns[i].reduce((s, v, k) => s + v * columns[j][k], 0);
      h[i * n + i] += ridge + 1e-6;
    }
    const d = choleskySolve(cholesky(h, n, 1e-6), n, g);
    let size = 1;
    let next = x;
    let nextCost = Number.POSITIVE_INFINITY;
    while (size > 1e-3) {
      next = x.map((v, i) => v + size * Math.max(-1, Math.min(1, d[i])));
      nextCost = costOf(next);
      if (nextCost < cost) break;
      size /= 2;
    }
    if (!(nextCost < cost * (1 - 1e-7))) break;
    x = next;
    cost = nextCost;
  }
  return x;
}

/** Lab as a quadratic in the film amounts of the tints, with a level for each ground. */
export function quadraticRegression(job: SimulatedJob): Predictor {
  const tints = job.world.dyes.length;
  const grounds = job.world.grounds.length;
  const usual = job.world.usualCarrier;
  const features = (s: Spray): number[] => {
    const x = Array.from({ length: tints }, (_, t) => (s.coats > 0 ? film(s, usual) * share(s, t) : 0));
    const out = Array.from({ length: grounds }, (_, g): number => (g === s.ground ? 1 : 0));
    out.push(...x);
    for (let i = 0; i < tints; i++) for (let j = i; j < tints; j++) out.push(x[i] * x[j]);
    return out;
  };
  const rows = job.panels.map((p) => features(p.spray));
  const n = rows[0].length;
  const weights = [0, 1, 2].map((c) => {
    const h = new Float64Array(n * n);
    const g = new Float64Array(n);
    rows.forEach((row, k) => {
      for (let i = 0; i < n; i++) {
        g[i] += row[i] * job.panels[k].lab[c];
        for (let j = 0; j < n; j++) h[i * n + j] += row[i] * row[j];
      }
    });
    for (let i = 0; i < n; i++) h[i * n + i] += 0.01;
    return choleskySolve(cholesky(h, n), n, g);
  });
  return (s) => {
    const f = features(s);
    const at = (c: number): number => f.reduce((sum, v, i) => sum + v * weights[c][i], 0);
    return [at(0), at(1), at(2)];
  };
}

/** What a painter does without a model: goes between the two panels that look nearest, on the nearer one's ground. */
export function byEye(job: SimulatedJob, target: Triple): Spray {
  const off = (lab: Triple): number => deltaE2000(lab, target);
  const [a, b] = job.panels.filter((p) => p.spray.coats > 0).sort((p, q) => off(p.lab) - off(q.lab));
  if (!b) return a.spray;
  const w = off(b.lab) / (off(a.lab) + off(b.lab) + 1e-9);
  return {
    parts: a.spray.parts.map((_, t) => w * share(a.spray, t) + (1 - w) * share(b.spray, t)),
    carrier: w * a.spray.carrier + (1 - w) * b.spray.carrier,
    coats: Math.max(1, Math.round(w * a.spray.coats + (1 - w) * b.spray.coats)),
    ground: a.spray.ground,
    clear: a.spray.clear,
  };
}
