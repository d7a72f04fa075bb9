/**
 * Colours as seen: what the eye meets in the light of each photo, relative to that light's white, beside the colours
 * under the card's white. Every photo of a thing tells of its colour in every light: the fitted camera and light of the
 * photo it is read in, and the light that another photo's card has shown, train one map together. All of them are one
 * Gaussian, so that errors which two colours share cancel in their difference.
 */
import type { WhiteName } from '../color/index.ts';
import type { Vec3 } from '../math/linear.ts';
import { believed, type Contradiction, contradictions, covarianceOf } from './as-seen-covariance.ts';
import { type Lights, type Row, rowsOf, type SeenIn } from './as-seen-rows.ts';
import type { PhotoCorrection } from './correct-photo.ts';
import { doubtingLight } from './curled-card.ts';
import { fittedPhoto } from './estimate.ts';
import { drawEnsemble, joinObservations } from './joint.ts';
import type { LightLabel } from './light-prior.ts';
import { lightTargets } from './light-targets.ts';
import { type PhotoLight, photoLight } from './photo-light.ts';
import type { Sighting } from './sightings.ts';
import type { LabEnsemble } from './types.ts';

export interface AsSeenColours {
  /** One member for each thing in each light it was photographed in, and under the card's white. */
  readonly ensemble: LabEnsemble;
  readonly members: readonly { readonly thing: number; readonly light: SeenIn }[];
  readonly u95: readonly Vec3[];
  /** The light of each photo. */
  readonly lights: readonly PhotoLight[];
  /** Things whose photos contradict each other: each photo then tells of its own light alone. */
  readonly contradicted: readonly Contradiction[];
}

export interface AsSeenOptions {
  /** What the painter calls each photo's light. */
  readonly labels?: readonly LightLabel[] | undefined;
}

/** Reads things as seen in the light of every photo they are in. Every thing needs a sighting. */
export function readAsSeen(
  white: WhiteName,
  ids: readonly string[],
  plainCorrections: readonly PhotoCorrection[],
  sightings: readonly Sighting[],
  { labels }: AsSeenOptions = {},
): AsSeenColours {
  const photoLights = plainCorrections.map(({ cardFit: fit }, i) =>
    photoLight(fit, fit.prior.lights[fit.model.sensitivity], labels?.[i]),
  );
  const corrections = plainCorrections.map((c, i) => ({
    ...c,
    photo: fittedPhoto(doubtingLight(photoLights[i].fit, c.curl), white),
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
