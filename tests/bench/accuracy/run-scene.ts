/** One scene through the correction, held against its truth. */
import type { SceneReadings } from '../../../samples/scene/index.ts';
import { deltaE2000, type Lab, lchDifference } from '../../../src/core/color/index.ts';
import { comparePanels } from '../../../src/core/compare/index.ts';
import {
  type CorrectionPrior,
  correctPhoto,
  type PhotoCorrection,
  type ReadColours,
  readColours,
  type Sighting,
} from '../../../src/core/correction/index.ts';
import { baselines } from './baselines.ts';
import type { Scores } from './scores.ts';

export function correctionOf(s: SceneReadings, prior?: CorrectionPrior): PhotoCorrection {
  return correctPhoto(s.patches, {
    white: s.card.white,
    size_mm: s.card.size_mm,
    pixels: { bits: s.bits, profile: { ...s.profile, source: 'embedded' } },
    ...(prior ? { prior } : {}),
  });
}

/** All panels of one or more photos of the same things. */
export function coloursOf(
  photos: readonly SceneReadings[],
  corrections: readonly PhotoCorrection[],
): ReadColours {
  return readColours(
    photos[0].card.white,
    photos[0].panels.map((p) => p.id),
    corrections,
    sightingsOf(photos),
  );
}

/** How things other than films of tints were made. */
const MAKES: Readonly<Record<string, Pick<Sighting, 'make'>>> = {
  ground: { make: 'ground' },
  sample: { make: 'any' },
};

/** Every panel of the photos, as a job whose recipes are noted tells of them. */
export function sightingsOf(photos: readonly SceneReadings[]): Sighting[] {
  return photos.flatMap((s, photo) =>
    s.panels.map((reading, thing) => {
      const { kind: group, tint } = s.truth.panels[thing];
      const madeOf = tint === undefined ? {} : { madeOf: String(tint) };
      return { thing, photo, reading, group, ...madeOf, ...MAKES[group] };
    }),
  );
}

/** Adds errors, coverage and widths of one photo's (or joined photos') panels to the scores. */
export function scoreColours(
  scores: Scores,
  truth: SceneReadings['truth'],
  read: ReadColours,
  kind: string,
): void {
  const { ensemble, u95 } = read;
  truth.panels.forEach((t, k) => {
    const lab = ensemble.lab[k];
    const error = deltaE2000(lab, t.lab);
    scores.add('error', error);
    scores.add(`error ${kind}`, error);
    for (const [a, name] of [...'Lab'].entries()) {
      const z = (lab[a] - t.lab[a]) / (u95[k][a] / 1.96);
      const held = Math.abs(z) <= 1.96 ? 1 : 0;
      scores.add(`held ${name}*`, held);
      scores.add(`held ${kind}`, held);
      scores.add(`z² ${name}*`, Math.min(z * z, 16));
      scores.add(`u95 ${name}*`, u95[k][a]);
    }
  });
  const comparison = comparePanels(ensemble);
  const index = new Map(ensemble.ids.map((id, i) => [id, i]));
  for (const pair of comparison.pairs) {
    const a = truth.panels[index.get(pair.a)!];
    const b = truth.panels[index.get(pair.b)!];
    const true_de00 = deltaE2000(a.lab as Lab, b.lab as Lab);
    if (true_de00 >= 12) continue;
    scores.add('pair error', Math.abs(pair.de00 - true_de00));
    const held = true_de00 >= pair.interval95[0] - 1e-9 && true_de00 <= pair.interval95[1] + 1e-9 ? 1 : 0;
    scores.add('pair held', held);
    scores.add(
      `pair held ${true_de00 < 1e-9 ? 'identical' : a.kind === b.kind && a.tint === b.tint ? 'same tint' : 'other tint'}`,
      held,
    );
    const apart = lchDifference(a.lab as Lab, b.lab as Lab);
    for (const [t, way] of (['dL', 'dC', 'dH'] as const).entries()) {
      scores.add(`held ${way}`, Math.abs(pair[way] - apart[way]) <= pair.u95[t] + 1e-9 ? 1 : 0);
      scores.add(`u95 ${way}`, pair.u95[t]);
    }
    scores.add('pair width', pair.interval95[1] - pair.interval95[0]);
  }
}

/** The plain corrections on the same readings. */
export function scoreBaselines(scores: Scores, s: SceneReadings): void {
  const plain = baselines(s);
  for (const [name, correct] of Object.entries(plain)) {
    const labs = s.panels.map((p) => correct(p.reading.linear));
    s.truth.panels.forEach((t, k) => {
      scores.add(name, deltaE2000(labs[k], t.lab));
      for (let j = 0; j < k; j++) {
        const true_de00 = deltaE2000(t.lab, s.truth.panels[j].lab);
        if (true_de00 < 12) scores.add(`${name} pairs`, Math.abs(deltaE2000(labs[k], labs[j]) - true_de00));
      }
    });
  }
}
