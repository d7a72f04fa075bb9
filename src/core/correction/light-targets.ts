/**
 * What the virtual panels look like in the light of a photo: XYZ relative to that light's white, adapted to another
 * white by the linear Bradford transform (ICC.1:2022, annex E), and how they change with what is unknown of the light.
 */
import { GRID, viewing, type WhiteName, type Xyz } from '../color/index.ts';
import { multiply3, type Vec3 } from '../math/linear.ts';
import { bradford } from '../photo/primaries.ts';
import { lightnessWeights } from './colour-map.ts';
import { BARS } from './light-prior.ts';
import type { Make } from './paint.ts';
import type { PhotoLight } from './photo-light.ts';
import type { Targets } from './seen-panels.ts';
import { virtualOthers } from './virtual-others.ts';
import { virtualPanels } from './virtual-panels.ts';

const N = GRID.count;

/** The virtual things in one light, and the panels' changes with the light's unknowns, m × 3 each: learned modes, then open ones. */
export interface LightTargets {
  readonly training: Targets;
  readonly changes: readonly Float64Array[];
}

/** Not yet adapted X, Y, Z that a light's power (or a change of it) gives of things, the perfect white last. */
function unscaled(power: Float64Array, things: readonly Float64Array[]): Float64Array {
  const weights = BARS.map((bar) => bar.map((b, i) => b * power[i]));
  const out = new Float64Array(3 * (things.length + 1));
  for (let c = 0; c < 3; c++) {
    things.forEach((r, j) => {
      let s = 0;
      for (let i = 0; i < N; i++) s += weights[c][i] * r[i];
      out[3 * j + c] = s;
    });
    out[3 * things.length + c] = weights[c].reduce((a, b) => a + b, 0);
  }
  return out;
}

/** XYZ over the white's Y, adapted so that the white becomes `to`; the white itself left off. */
function adapted(xyz: Float64Array, to: Vec3): Float64Array {
  const last = xyz.length - 3;
  const y = xyz[last + 1];
  const m = bradford([xyz[last] / y, 1, xyz[last + 2] / y], to);
  const out = new Float64Array(last);
  for (let at = 0; at < last; at += 3) {
    const [x, yy, z] = multiply3(m, [xyz[at] / y, xyz[at + 1] / y, xyz[at + 2] / y]);
    out[at] = x;
    out[at + 1] = yy;
    out[at + 2] = z;
  }
  return out;
}

const STEP = 0.25;

/** The virtual things in the light of a photo, adapted to a white. */
export function lightTargets({ power, slopes, open }: PhotoLight, white: WhiteName): LightTargets {
  const to = viewing(white).white;
  const panels = virtualPanels();
  const plain = unscaled(power, panels);
  const seen = (sums: Float64Array): Float64Array => adapted(sums, to).map((v) => Math.max(v, 1e-5));
  const xyz = seen(plain);
  const changes = [...slopes, ...open].map((by) => {
    const change = unscaled(by, panels);
    const moved = adapted(
      plain.map((v, i) => v + STEP * change[i]),
      to,
    );
    return moved.map((v, i) => (v - xyz[i]) / STEP);
  });
  const of = (make: Make): Float64Array => seen(unscaled(power, virtualOthers(make)));
  return { training: { xyz, weights: lightnessWeights(xyz), of }, changes };
}

/** A reflectance in a light, relative to the light's white, adapted to a white. */
export function adaptedXyz(reflectance: ArrayLike<number>, power: ArrayLike<number>, white: WhiteName): Xyz {
  const sums = (r: ArrayLike<number> | undefined): Vec3 =>
    BARS.map((bar) => bar.reduce((s, b, i) => s + b * power[i] * (r ? r[i] : 1), 0)) as unknown as Vec3;
  const [x, y, z] = sums(reflectance);
  const [wx, wy, wz] = sums(undefined);
  return multiply3(bradford([wx / wy, 1, wz / wy], viewing(white).white), [x / wy, y / wy, z / wy]);
}
