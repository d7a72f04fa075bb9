/** What one photo tells of its things: their colours under the card's white and in each light they were photographed in. */
import { type Lab, viewing, type WhiteName } from '../color/index.ts';
import { solveLower } from '../math/linear.ts';
import { labByXyz } from './colour-change.ts';
import { applyPolynomial, trainPolynomial } from './colour-map.ts';
import type { PhotoCorrection } from './correct-photo.ts';
import { type Estimate, estimate, labByReading } from './estimate.ts';
import type { LightTargets } from './light-targets.ts';
import { noiseInLab, readingNoise, relativeReading, type ThingRead } from './read-through.ts';
import { predictMisfits } from './residual-field.ts';
import { mappedXyz, trainMapTo } from './seen-panels.ts';
import { type Sighting, sightedThing } from './sightings.ts';

/** A light that a colour is stated for: the card's white, or the index of the photo whose own light it is. */
export type SeenIn = 'white' | number;

/** A sighting's reading told in one light. */
export interface Row {
  readonly sighting: number;
  readonly light: SeenIn;
  readonly lab: Lab;
  /** By photo, 3 × columns: what the unknowns of that photo do. */
  readonly unknowns: ReadonlyMap<number, Float64Array>;
  readonly metamerism: Float64Array;
  /** 3 × ways: what the reading's own noise does. */
  readonly noise: Float64Array;
}

/** The light priors of the photos, in their order. */
export interface Lights {
  readonly targets: readonly LightTargets[];
  readonly learned: readonly number[];
}

/** Everything one photo tells: its things under the card's white and in each light they were photographed in. */
export function rowsOf(
  photo: number,
  white: WhiteName,
  corrections: readonly PhotoCorrection[],
  sightings: readonly Sighting[],
  lights: Lights,
): Row[] {
  const here = sightings.flatMap((s, i) => (s.photo === photo ? [i] : []));
  if (here.length === 0) return [];
  const correction = corrections[photo];
  const things = here.map((i) => sightedThing(sightings[i], correction));
  const plain = estimate(correction.photo, things);
  const bend = predictMisfits(correction.residualField, plain.labs).means;
  const wanted = corrections.flatMap((_, light) =>
    here.some((i) => sightings.some((s) => s.photo === light && s.thing === sightings[i].thing))
      ? [light]
      : [],
  );
  const inLights: readonly SeenIn[] = ['white', ...wanted];
  return inLights.flatMap((light) => {
    const seen = light === 'white' ? plainSeen(correction, plain, things) : seenIn(light, photo, white);
    return here.flatMap((i, p) =>
      light === 'white' || sightings.some((s) => s.photo === light && s.thing === sightings[i].thing)
        ? [seen(i, p)]
        : [],
    );
  });

  function plainSeen(c: PhotoCorrection, e: Estimate, read: readonly ThingRead[]) {
    return (i: number, p: number): Row => ({
      sighting: i,
      light: 'white',
      lab: moved(e.labs[p], bend[p]),
      unknowns: new Map([[photo, e.parameters.factor.subarray(3 * p * size(e), 3 * (p + 1) * size(e))]]),
      metamerism: metamerismOf(e, p),
      noise: noiseOf(c, c.photo.map, read[p]),
    });
  }

  function seenIn(light: number, from: number, under: WhiteName) {
    const { fit } = correction.photo;
    const target = lights.targets[light];
    const map = trainMapTo(fit, target.training);
    const through = { fit, white: under, map };
    const e = estimate(through, things);
    const slopes = target.changes.map((xyz) => trainPolynomial({ ...map.training, xyz }));
    return (i: number, p: number): Row => {
      const q = relativeReading(fit, fit.theta, things[p]);
      const byXyz = labByXyz(mappedXyz(map.polynomial, q), viewing(under));
      const byLight = slopes.map((slope) => {
        const change = new Float64Array(3);
        applyPolynomial(slope, q[0], q[1], q[2], change, 0);
        return [0, 1, 2].map((a) => {
          let s = 0;
          for (let c = 0; c < 3; c++) s += byXyz[3 * a + c] * change[c];
          return s;
        });
      });
      const own = e.parameters.factor.subarray(3 * p * size(e), 3 * (p + 1) * size(e));
      return {
        sighting: i,
        light,
        lab: moved(e.labs[p], bend[p]),
        unknowns: withLight(own, from, light, byLight),
        metamerism: metamerismOf(e, p),
        noise: noiseOf(correction, map, things[p]),
      };
    };
  }

  /** Adds what the light's unknowns do: learned ones are the sensitivities' of its photo, open ones follow them. */
  function withLight(
    own: Float64Array,
    from: number,
    light: number,
    byLight: readonly (readonly number[])[],
  ): Map<number, Float64Array> {
    const { fit } = corrections[light].photo;
    const learned = lights.learned[light];
    const open = byLight.length - learned;
    const n = fit.layout.size;
    const all = new Float64Array(3 * (n + open));
    for (let a = 0; a < 3; a++) {
      const row = all.subarray(a * (n + open), (a + 1) * (n + open));
      for (let k = 0; k < learned; k++) row[fit.layout.sensitivity + k] = byLight[k][a];
      solveLower(fit.hessian, n, row.subarray(0, n));
      for (let k = 0; k < open; k++) row[n + k] = byLight[learned + k][a];
      if (light === from) for (let k = 0; k < n; k++) row[k] += own[a * n + k];
    }
    const out = new Map<number, Float64Array>([[light, all]]);
    if (light !== from) out.set(from, own);
    return out;
  }
}

const size = (e: Estimate): number => e.parameters.columns;
const moved = (lab: Lab, by: Lab): Lab => [lab[0] + by[0], lab[1] + by[1], lab[2] + by[2]];

function metamerismOf({ metamerism: { columns, factor } }: Estimate, p: number): Float64Array {
  return factor.subarray(3 * p * columns, 3 * (p + 1) * columns);
}

/** What a reading's own noise does to its colour. */
function noiseOf(
  { photo: { fit, white } }: PhotoCorrection,
  map: Parameters<typeof labByReading>[0],
  thing: ThingRead,
): Float64Array {
  const q = relativeReading(fit, fit.theta, thing);
  return noiseInLab(labByReading(map, q, viewing(white)), readingNoise(fit, thing, q));
}
