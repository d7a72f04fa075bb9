import { beforeAll, describe, expect, it } from 'vitest';
import { LIGHT_KINDS, randomScene, type SceneReadings, sceneReadings } from '../../samples/scene/index.ts';
import { OWN_CARD, stripsBeside } from '../../src/core/card/own.ts';
import { deltaE2000 } from '../../src/core/color/index.ts';
import { readColours } from '../../src/core/correction/index.ts';
import { coloursOf, correctionOf, scoreBaselines, scoreColours } from '../bench/accuracy/run-scene.ts';
import { makeScores, type Scores } from '../bench/accuracy/scores.ts';

const strips = stripsBeside(OWN_CARD);

function scene(seed: number, pixels: 'jpeg' | 'linear', light: (typeof LIGHT_KINDS)[number]): SceneReadings {
  return sceneReadings(
    randomScene(seed, {
      family: 'judge',
      card: OWN_CARD,
      strips,
      cardTier: 'measured',
      panels: 8,
      identicalPair: true,
      pixels,
      light,
    }),
  );
}

/**
 * Scenes of the judging family, of seeds that nothing was tuned on. The lines to beat are plain corrections
 * on the same readings: 3×3, grey point, and a tone curve with a root polynomial (Finlayson et al. 2015).
 * `npm run bench:accuracy` holds many more.
 */
describe.each(['jpeg', 'linear'] as const)('panels in %s pixels, card measured', (pixels) => {
  const scores: Scores = makeScores();
  beforeAll(() => {
    for (const light of LIGHT_KINDS)
      for (let seed = 700; seed < 706; seed++) {
        const s = scene(seed, pixels, light);
        scoreColours(scores, s.truth, coloursOf([s], [correctionOf(s)]), light);
        scoreBaselines(scores, s);
      }
  });

  it('come out nearer to the truth than by any plain correction', () => {
    const best =
      pixels === 'jpeg'
        ? { matrix: 0.6, greyPoint: 0.55, curveThenRoot: 0.8 }
        : { matrix: 0.9, rootPolynomial: 0.9 };
    for (const [name, ratio] of Object.entries(best))
      expect(scores.mean('error') / scores.mean(name), name).toBeLessThan(ratio);
  });

  it('lie inside their stated intervals', () => {
    for (const axis of ['L*', 'a*', 'b*']) expect(scores.mean(`held ${axis}`), axis).toBeGreaterThan(0.85);
    expect(scores.mean('pair held')).toBeGreaterThan(0.88);
    for (const axis of ['L*', 'a*', 'b*']) expect(scores.mean(`u95 ${axis}`), axis).toBeLessThan(4);
  });

  it('differ from each other by what they truly differ', () => {
    expect(scores.mean('pair error')).toBeLessThan(0.6);
  });
});

describe('a colour stated by an instrument', () => {
  const s = scene(720, 'jpeg', 'day');
  const correction = correctionOf(s);
  const sightings = s.panels.map((reading, thing) => ({ thing, photo: 0, reading }));
  const ids = s.panels.map((p) => p.id);
  const errorOf = (read: ReturnType<typeof readColours>): number =>
    s.truth.panels.slice(2, 5).reduce((sum, t, k) => sum + deltaE2000(read.ensemble.lab[k + 2], t.lab), 0) /
    3;

  it('brings its neighbours of the same tint nearer to the truth', () => {
    const alone = readColours('D50/2', ids, [correction], sightings);
    const known = readColours('D50/2', ids, [correction], sightings, [
      { thing: 0, lab: s.truth.panels[0].lab, u: 0.3 },
    ]);
    expect(errorOf(known)).toBeLessThan(errorOf(alone));
    expect(known.disagreements).toEqual([]);
  });

  it('is named when the photo contradicts it', () => {
    const [L, a, b] = s.truth.panels[0].lab;
    const wrong = readColours('D50/2', ids, [correction], sightings, [
      { thing: 0, lab: [L - 9, a + 14, b], u: 0.3 },
    ]);
    expect(wrong.disagreements.map((d) => d.thing)).toContain(0);
  });
});

it('the check on the card takes exactly the patch out that it predicts', () => {
  const s = scene(730, 'linear', 'day');
  const whole = correctionOf(s);
  expect(whole.check.patches_used).toBe(s.patches.length);
  expect(whole.check.mean_de00).toBeGreaterThan(0);
  // a patch whose stated colour is wrong by far is not believed, and told
  const spoiled = {
    ...s,
    patches: s.patches.map((p) =>
      p.patch.id === 'F4'
        ? { ...p, patch: { ...p.patch, spectrum: undefined, lab: [70, 20, 20] as never } }
        : p,
    ),
  } as SceneReadings;
  const { check, outlying } = correctionOf(spoiled);
  expect(outlying).toEqual(['F4']);
  expect(check.patches_left_out).toEqual(['F4']);
  expect(check.patches_used).toBe(s.patches.length - 1);
});
