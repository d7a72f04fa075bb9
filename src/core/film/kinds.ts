/** Kinds of dye: the library sorted by where and how its dyes absorb. A tint is one kind, not the middle of all. */
import { seededRandom } from '../math/random.ts';
import { dyeLibrary } from './library.ts';
import { type Moments, meanOf, momentsOf } from './moments.ts';
import { NODES } from './node-grid.ts';
import { type FilmPriors, remembered } from './priors.ts';

export interface DyeKind extends Moments {
  /** Share of all dyes. */
  readonly share: number;
}

const KINDS = 9;
/** Share of the largest absorbance below which two shapes are alike: what hardly absorbs tells no kind. */
const ALIKE = 0.05;
const ROUNDS = 25;

const known = new WeakMap<FilmPriors, readonly DyeKind[]>();

/** ln absorbance of each kind, there and back, of one coat at the usual letdown. */
export const dyeKinds = (priors: FilmPriors): readonly DyeKind[] =>
  remembered(known, priors, () => makeKinds(priors));

function makeKinds({ tint, kinds }: FilmPriors): DyeKind[] {
  const library = dyeLibrary();
  const logs = library.map((dye) => dye.map(Math.log));
  const all = momentsOf(logs);
  const up = tint.mean - all.mean.reduce((a, b) => a + b, 0) / NODES;
  return sorted(library.map((dye) => dye.map((a) => Math.log(a + ALIKE)))).map((members) => {
    const { mean, covariance } = momentsOf(members.map((i) => logs[i]));
    return {
      share: members.length / library.length,
      mean: mean.map((v) => v + up),
      covariance: covariance.map(
        (v, i) => kinds.share * v + kinds.ofAll * all.covariance[i] + kinds.level ** 2,
      ),
    };
  });
}

/** k-means (Lloyd), its first centres drawn far apart (k-means++): the members of each kind. */
function sorted(shapes: readonly Float64Array[]): number[][] {
  const rng = seededRandom(4);
  let centres = [shapes[0]];
  while (centres.length < KINDS) {
    const off = shapes.map((s) => Math.min(...centres.map((c) => squaredDistance(s, c))));
    let left = rng.uniform() * off.reduce((a, b) => a + b, 0);
    const next = off.findIndex((d) => {
      left -= d;
      return left <= 0;
    });
    centres.push(shapes[Math.max(0, next)]);
  }
  let members: number[][] = [];
  for (let round = 0; round < ROUNDS; round++) {
    members = centres.map(() => []);
    shapes.forEach((s, i) => {
      const off = centres.map((c) => squaredDistance(s, c));
      members[off.indexOf(Math.min(...off))].push(i);
    });
    members = members.filter((m) => m.length > 0);
    centres = members.map((m) => meanOf(m.map((i) => shapes[i])));
  }
  return members;
}

function squaredDistance(a: Float64Array, b: Float64Array): number {
  let sum = 0;
  for (let i = 0; i < a.length; i++) sum += (a[i] - b[i]) ** 2;
  return sum;
}
