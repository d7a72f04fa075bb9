import { beforeAll, describe, expect, it } from 'vitest';
import { LIGHT_KINDS, randomScene, sceneReadings } from '../../samples/scene/index.ts';
import { OWN_CARD, stripsBeside } from '../../src/core/card/own.ts';
import { readColours } from '../../src/core/correction/index.ts';
import { correctionOf } from '../bench/accuracy/run-scene.ts';
import { makeScores } from '../bench/accuracy/scores.ts';

/** Flakes under clear have smooth spectra: three channels leave less open of them than of a film that reads the same. */
describe('a panel that is noted as bare', () => {
  const scores = makeScores();

  beforeAll(() => {
    for (const light of LIGHT_KINDS)
      for (let seed = 740; seed < 756; seed++) {
        const s = sceneReadings(
          randomScene(seed, {
            family: 'judge',
            card: OWN_CARD,
            strips: stripsBeside(OWN_CARD),
            cardTier: 'measured',
            pixels: 'jpeg',
            light,
          }),
        );
        const correction = correctionOf(s);
        const read = (isNoted: boolean) =>
          readColours(
            s.card.white,
            s.panels.map((p) => p.id),
            [correction],
            s.panels.map((reading, thing) => {
              const isBare = s.truth.panels[thing].kind === 'ground';
              return { thing, photo: 0, reading, ...(isBare && isNoted ? { make: 'ground' as const } : {}) };
            }),
          );
        const [noted, unnoted] = [read(true), read(false)];
        s.truth.panels.forEach(({ kind, lab }, k) => {
          const what = kind === 'ground' ? 'bare' : 'other';
          for (let axis = 0; axis < 3; axis++) {
            scores.add(
              `${what} held`,
              Math.abs(noted.ensemble.lab[k][axis] - lab[axis]) <= noted.u95[k][axis] ? 1 : 0,
            );
            scores.add(`${what} changed`, Math.abs(noted.u95[k][axis] - unnoted.u95[k][axis]));
          }
          if (kind === 'ground')
            for (const axis of [1, 2]) scores.add('width', noted.u95[k][axis] / unnoted.u95[k][axis]);
        });
      }
  });

  it('is known more closely, and no closer than it is', () => {
    expect(scores.count('bare held')).toBeGreaterThan(150);
    expect(scores.mean('bare held')).toBeGreaterThan(0.93);
    expect(scores.mean('width')).toBeLessThan(0.75);
  });

  it('leaves the films beside it as sure as they are without the note', () => {
    expect(scores.mean('other changed')).toBeLessThan(1e-9);
  });
});
