/**
 * Colours as seen: what the eye meets in the light of each photo, relative to that light's white, beside the colours
 * under the card's white. Every photo of a thing tells of its colour in every light: the fitted camera and light of the
 * photo it is read in, and the light that another photo's card has shown, train one map together. All of them are one
 * Gaussian, so that errors which two colours share cancel in their difference.
 */
import { type Lab, viewing, type WhiteName } from '../color/index.ts';
import { cholesky, choleskySolve, solveLower, type Vec3 } from '../math/linear.ts';
import { labByXyz } from './colour-change.ts';
import { applyPolynomial, trainPolynomial } from './colour-map.ts';
import { type PhotoCorrection, thingOf } from './correct-photo.ts';
import { type Estimate, estimate, fittedPhoto, labByReading } from './estimate.ts';
import { drawEnsemble, joinObservations } from './joint.ts';
import { type LightLabel, type LightPriors, SHIPPED_LIGHTS } from './light-prior.ts';
import { type LightTargets, lightTargets } from './light-targets.ts';
import { type PhotoLight, photoLight } from './photo-light.ts';
import { readingNoise, relativeReading, type ThingRead } from './read-through.ts';
import { predictMisfits } from './residual-field.ts';
import { mappedXyz, trainMapTo } from './seen-panels.ts';
import { printFactor, unsoughtColumns } from './shared-print.ts';
import type { Sighting } from './sightings.ts';
import { SPREAD } from './spread.ts';
import type { LabEnsemble } from './types.ts';

/** A light that a colour is stated for: the card's white, or the index of the photo whose own light it is. */
export type SeenIn = 'white' | number;

export interface AsSeenColours {
  /** One member for each thing in each light it was photographed in, and under the card's white. */
  readonly ensemble: LabEnsemble;
  readonly members: readonly { readonly thing: number; readonly light: SeenIn }[];
  readonly u95: readonly Vec3[];
  /** The light of each photo. */
  readonly lights: readonly PhotoLight[];
  /** Things whose photos contradict each other: each photo then tells of its own light alone. */
  readonly contradicted: readonly { readonly thing: number; readonly between: readonly [number, number] }[];
}

/** A sighting's reading told in one light. */
interface Row {
  readonly sighting: number;
  readonly light: SeenIn;
  readonly lab: Lab;
  /** By photo, 3 × columns: what the unknowns of that photo do. */
  readonly unknowns: ReadonlyMap<number, Float64Array>;
  readonly metamerism: Float64Array;
  /** 3 × columns: the print's lightness, where the fit did not seek it. */
  readonly print: Float64Array;
  /** 3 × 3: what the reading's own noise does. */
  readonly noise: Float64Array;
}

/** 99.9 % point of χ² with 3 degrees of freedom. */
const CONTRADICTS = 16.27;
/** Standard deviation per Lab axis that a colour told in another photo's light has for itself. */
const RETOLD = 0.15;

/** On a linear file's unknowns beyond the plain colours' spread: kinds of light and cameras other than those learned from. */
const LIGHT_SPREAD = 1.15;
/** Share of what three channels cannot tell that one thing's colours in two lights have in common where their readings agree. */
const SAME_ACROSS_LIGHTS = 0.75;

/** The light priors of the photos, in their order. */
interface Lights {
  readonly targets: readonly LightTargets[];
  readonly learned: readonly number[];
}

export interface AsSeenOptions {
  /** What the painter calls each photo's light. */
  readonly labels?: readonly LightLabel[] | undefined;
  readonly priors?: LightPriors | undefined;
}

/** Reads things as seen in the light of every photo they are in. Every thing needs a sighting. */
export function readAsSeen(
  white: WhiteName,
  ids: readonly string[],
  plainCorrections: readonly PhotoCorrection[],
  sightings: readonly Sighting[],
  { labels, priors = SHIPPED_LIGHTS }: AsSeenOptions = {},
): AsSeenColours {
  const photoLights = plainCorrections.map(({ photo: { fit } }, i) =>
    photoLight(fit, priors[fit.model.sensitivity], labels?.[i]),
  );
  const corrections = plainCorrections.map((c, i) => ({
    ...c,
    photo: fittedPhoto(photoLights[i].fit, white),
  }));
  const lights: Lights = {
    targets: photoLights.map((light) => lightTargets(light, white)),
    learned: photoLights.map((light) => light.slopes.length),
  };
  const told = corrections.flatMap((_, photo) => rowsOf(photo, white, corrections, sightings, lights));
  const contradicted = contradictions(told, corrections, sightings);
  const rows = told.filter((row) => believed(row, sightings, contradicted));
  const members = membersOf(rows, sightings);
  const labs = rows.map((r) => r.lab);
  const covariance = covarianceOf(rows, corrections, sightings);
  const things = rows.map((r) =>
    members.findIndex((m) => m.thing === sightings[r.sighting].thing && m.light === r.light),
  );
  const joint = joinObservations(members.length, { things, labs, covariance });
  const size = 3 * members.length + 1;
  return {
    ensemble: drawEnsemble(
      white,
      members.map((m) => `${ids[m.thing]} ${m.light === 'white' ? white : m.light + 1}`),
      joint.labs,
      joint.covariance,
    ),
    members,
    u95: members.map(
      (_, i) =>
        [0, 1, 2].map((a) => 1.96 * Math.sqrt(joint.covariance[(3 * i + a) * size])) as unknown as Vec3,
    ),
    contradicted,
    lights: photoLights,
  };
}

function membersOf(
  rows: readonly Row[],
  sightings: readonly Sighting[],
): { readonly thing: number; readonly light: SeenIn }[] {
  const known = new Map<string, { thing: number; light: SeenIn }>();
  for (const { sighting, light } of rows) {
    const { thing } = sightings[sighting];
    known.set(`${thing} ${light}`, { thing, light });
  }
  return [...known.values()].sort((a, b) => a.thing - b.thing || order(a.light) - order(b.light));
}

const order = (light: SeenIn): number => (light === 'white' ? -1 : light);

/** Everything one photo tells: its things under the card's white and in each light they were photographed in. */
function rowsOf(
  photo: number,
  white: WhiteName,
  corrections: readonly PhotoCorrection[],
  sightings: readonly Sighting[],
  lights: Lights,
): Row[] {
  const here = sightings.flatMap((s, i) => (s.photo === photo ? [i] : []));
  if (here.length === 0) return [];
  const correction = corrections[photo];
  const things = here.map((i) => {
    const { reading, at_mm } = sightings[i].reading;
    return thingOf(reading, at_mm, correction.candidate, correction.size_mm);
  });
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
    const print = unsoughtOf(c, e);
    return (i: number, p: number): Row => ({
      sighting: i,
      light: 'white',
      lab: moved(e.labs[p], bend[p]),
      unknowns: new Map([[photo, e.parameters.factor.subarray(3 * p * size(e), 3 * (p + 1) * size(e))]]),
      metamerism: metamerismOf(e, p),
      print: print(p),
      noise: noiseFactor(c, c.photo.map, read[p]),
    });
  }

  function seenIn(light: number, from: number, under: WhiteName) {
    const { fit } = correction.photo;
    const target = lights.targets[light];
    const map = trainMapTo(fit, target.training);
    const through = { fit, white: under, map };
    const e = estimate(through, things);
    const print = unsoughtOf(correction, e);
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
        print: print(p),
        noise: noiseFactor(correction, map, things[p]),
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

/** Per thing, 3 × columns: what the print's lightness does where the fit did not seek it. */
function unsoughtOf({ photo: { fit } }: PhotoCorrection, e: Estimate): (p: number) => Float64Array {
  const { columns, factor } = unsoughtColumns(fit, printFactor(fit, e.parameters.factor));
  return (p) => factor.subarray(3 * p * columns, 3 * (p + 1) * columns);
}

function noiseFactor(
  { photo: { fit, white } }: PhotoCorrection,
  map: Parameters<typeof labByReading>[0],
  thing: ThingRead,
): Float64Array {
  const q = relativeReading(fit, fit.theta, thing);
  const by = labByReading(map, q, viewing(white));
  const sd = readingNoise(fit, fit.theta, thing);
  return by.map((v, i) => v * sd[i % 3]);
}

/** Covariance of rows, 3n × 3n. */
function covarianceOf(
  rows: readonly Row[],
  corrections: readonly PhotoCorrection[],
  sightings: readonly Sighting[],
): Float64Array {
  const n = 3 * rows.length;
  const out = new Float64Array(n * n);
  const bends = bendCovariances(rows, corrections, sightings);
  rows.forEach((r, i) => {
    for (let j = 0; j <= i; j++) {
      const block = blockOf(r, rows[j], corrections, sightings, bends(i, j));
      if (i === j) {
        const foreign = r.light !== 'white' && r.light !== sightings[r.sighting].photo;
        for (let a = 0; a < 3; a++) block[4 * a] += (foreign ? RETOLD : SPREAD.floor / 2) ** 2;
      }
      for (let a = 0; a < 3; a++)
        for (let b = 0; b < 3; b++) {
          out[(3 * i + a) * n + 3 * j + b] = block[3 * a + b];
          out[(3 * j + b) * n + 3 * i + a] = block[3 * a + b];
        }
    }
  });
  return out;
}

function blockOf(
  r: Row,
  s: Row,
  corrections: readonly PhotoCorrection[],
  sightings: readonly Sighting[],
  bend: number,
): Float64Array {
  const a = sightings[r.sighting];
  const b = sightings[s.sighting];
  const out = new Float64Array(9);
  for (const [photo, f] of r.unknowns) {
    const g = s.unknowns.get(photo);
    if (g) addProduct(out, f, g, spreadOf(corrections[photo]) ** 2);
  }
  const share =
    a.thing === b.thing ? 1 : a.group === b.group ? SPREAD.sharedInGroup : SPREAD.sharedAcrossGroups;
  const light = r.light === s.light ? 1 : SAME_ACROSS_LIGHTS;
  addProduct(out, r.metamerism, s.metamerism, SPREAD.metamerism ** 2 * share * light);
  if (a.photo === b.photo) {
    addProduct(out, r.print, s.print, spreadOf(corrections[a.photo]) ** 2);
    out[0] += bend;
    out[4] += bend;
    out[8] += bend;
  }
  if (r.sighting === s.sighting) {
    addProduct(out, r.noise, s.noise, 1);
    for (let k = 0; k < 9; k += 4) out[k] += SPREAD.floor ** 2;
  }
  return out;
}

/** out += scale · F·Gᵀ; a longer factor's further columns are what the shorter one has none of. */
function addProduct(out: Float64Array, f: Float64Array, g: Float64Array, scale: number): void {
  const m = f.length / 3;
  const k = g.length / 3;
  const shared = Math.min(m, k);
  for (let a = 0; a < 3; a++)
    for (let b = 0; b < 3; b++) {
      let s = 0;
      for (let i = 0; i < shared; i++) s += f[a * m + i] * g[b * k + i];
      out[3 * a + b] += scale * s;
    }
}

function spreadOf({ photo: { fit } }: PhotoCorrection): number {
  return fit.model.hasCurve ? SPREAD.parameters.withResponse : LIGHT_SPREAD * SPREAD.parameters.linear;
}

/** What is left of the photo's own bend of colours, shared by rows of one photo. */
function bendCovariances(
  rows: readonly Row[],
  corrections: readonly PhotoCorrection[],
  sightings: readonly Sighting[],
): (i: number, j: number) => number {
  const at = new Map<number, number>();
  const bends = corrections.map((c, photo) => {
    const here = [...new Set(rows.map((r) => r.sighting))].filter((s) => sightings[s].photo === photo);
    here.forEach((s, k) => {
      at.set(s, k);
    });
    const labs = here.map((s) => rows.find((r) => r.sighting === s)!.lab);
    return { count: here.length, ...predictMisfits(c.residualField, labs) };
  });
  return (i, j) => {
    const [p, q] = [rows[i].sighting, rows[j].sighting];
    const { photo } = sightings[p];
    if (photo !== sightings[q].photo) return 0;
    return bends[photo].covariance[at.get(p)! * bends[photo].count + at.get(q)!];
  };
}

/** Things whose photos tell colours under the card's white that are further apart than they may be. */
function contradictions(
  rows: readonly Row[],
  corrections: readonly PhotoCorrection[],
  sightings: readonly Sighting[],
): AsSeenColours['contradicted'] {
  const plain = rows.filter((r) => r.light === 'white');
  const found: { thing: number; between: readonly [number, number] }[] = [];
  plain.forEach((r, i) => {
    for (const s of plain.slice(0, i)) {
      const [a, b] = [sightings[s.sighting], sightings[r.sighting]];
      if (a.thing !== b.thing || a.photo === b.photo) continue;
      const pair = [s, r];
      const c = covarianceOf(pair, corrections, sightings);
      const d = Float64Array.from(r.lab, (v, k) => v - s.lab[k]);
      const between = new Float64Array(9);
      for (let p = 0; p < 3; p++)
        for (let q = 0; q < 3; q++)
          between[3 * p + q] = c[6 * p + q] + c[6 * (p + 3) + q + 3] - c[6 * p + q + 3] - c[6 * (p + 3) + q];
      const distance = choleskySolve(cholesky(between, 3, 1e-6), 3, d.slice()).reduce(
        (t, v, k) => t + v * d[k],
        0,
      );
      if (distance > CONTRADICTS) found.push({ thing: a.thing, between: [a.photo, b.photo] });
    }
  });
  return found;
}

function believed(
  row: Row,
  sightings: readonly Sighting[],
  contradicted: AsSeenColours['contradicted'],
): boolean {
  const { thing, photo } = sightings[row.sighting];
  if (!contradicted.some((c) => c.thing === thing)) return true;
  if (row.light !== 'white') return row.light === photo;
  return row.sighting === sightings.findIndex((s) => s.thing === thing);
}
