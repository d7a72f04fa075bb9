import { beforeAll, describe, expect, it } from 'vitest';
import { LIGHT_KINDS, randomScene, sceneReadings } from '../../samples/scene/index.ts';
import { OWN_CARD, stripsBeside } from '../../src/core/card/own.ts';
import { readColours } from '../../src/core/correction/index.ts';
import { correctionOf } from '../bench/accuracy/run-scene.ts';
import { withSample } from '../bench/accuracy/samples.ts';
import { makeScores } from '../bench/accuracy/scores.ts';

/**
 * A customer's sample among candy panels, made of pigments whose edge is steeper than any candy's. `npm run bench:accuracy`
 * holds the same against published paints seen by published cameras.
 */
describe('a sample that may be of any paint', () => {
  const held = makeScores();
  const last = 7;

  beforeAll(() => {
    for (const light of LIGHT_KINDS)
      for (let seed = 720; seed < 732; seed++) {
        const scene = randomScene(seed, {
          family: 'judge',
          card: OWN_CARD,
          strips: stripsBeside(OWN_CARD),
          cardTier: 'measured',
          panels: last + 1,
          pixels: 'linear',
          light,
        });
        const s = sceneReadings(withSample(scene));
        const correction = correctionOf(s);
        const ids = s.panels.map((p) => p.id);
        const read = (isAnyPaint: boolean) =>
          readColours(
            s.card.white,
            ids,
            [correction],
            s.panels.map((reading, thing) => ({
              thing,
              photo: 0,
              reading,
              group: thing === last ? 'sample' : 'candy',
              ...(thing === last && isAnyPaint ? { make: 'any' as const } : {}),
            })),
          );
        const asAny = read(true);
        const asFilm = read(false);
        const truth = s.truth.panels[last].lab;
        for (let a = 0; a < 3; a++) {
          const off = Math.abs(asAny.ensemble.lab[last][a] - truth[a]);
          held.add('as any paint', off <= asAny.u95[last][a] ? 1 : 0);
          held.add('as a film', off <= asFilm.u95[last][a] ? 1 : 0);
        }
        for (let thing = 0; thing < last; thing++)
          for (let a = 0; a < 3; a++)
            held.add('panels changed', Math.abs(asAny.u95[thing][a] - asFilm.u95[thing][a]));
      }
  });

  it('lies inside its stated interval, more often than if it were taken for a film sprayed here', () => {
    expect(held.count('as any paint')).toBe(180);
    expect(held.mean('as any paint')).toBeGreaterThan(0.92);
    expect(held.mean('as any paint')).toBeGreaterThan(held.mean('as a film') + 0.02);
  });

  it('leaves the panels beside it as sure as they are without it', () => {
    expect(held.mean('panels changed')).toBeLessThan(1e-9);
  });
});
