import { beforeAll, describe, expect, it } from 'vitest';
import { LIGHT_KINDS, type Scene, type SceneReadings, sceneReadings } from '../../samples/scene/index.ts';
import { coloursOf, correctionOf, scoreColours } from '../bench/accuracy/run-scene.ts';
import { makeScores, type Scores } from '../bench/accuracy/scores.ts';
import { benchScene } from '../measure/rendered.ts';

/** Light that the surface of the scene's sheets mirrors, as a share of a perfect white's. */
interface Sheen {
  /** At the card's right end; none at its left one. */
  readonly most: number;
  /** All over the strips. */
  readonly onStrips?: number;
  /** Another copy of the card lies beyond the panels, with as much. */
  readonly isTwice?: boolean;
}

function lifted(card: Scene['card'], by: (along: number) => number): Scene['card'] {
  const { definition, spectra } = card;
  return {
    ...card,
    spectra: spectra.map((spectrum, i) => {
      const [x, , width] = definition.patches[i].rect_mm;
      const light = by((x + width / 2) / definition.size_mm[0]);
      return spectrum.map((v) => v + light);
    }),
  };
}

const FURTHER_MM = 260;

function readingsUnder(scene: Scene, { most, onStrips = 0, isTwice = false }: Sheen): SceneReadings {
  const card = lifted(scene.card, (along) => most * along);
  const strips = isTwice ? [] : scene.strips.map((strip) => lifted(strip, () => onStrips));
  const lit = { ...scene, card, strips };
  const read = sceneReadings(lit);
  if (!isTwice) return read;
  const [x, y] = scene.cardPlace.centre_mm;
  const further = sceneReadings({
    ...lit,
    cardPlace: { ...scene.cardPlace, centre_mm: [x, y - FURTHER_MM] },
  });
  return { ...read, patches: [...read.patches, ...further.patches.map((p) => ({ ...p, sheet: 1 }))] };
}

function photos(sheen: Sheen): Scores {
  const scores = makeScores();
  for (const light of LIGHT_KINDS)
    for (let seed = 2300; seed < 2308; seed++) {
      const s = readingsUnder(benchScene(seed, { light, panels: 10 }), sheen);
      const read = coloursOf([s], [correctionOf(s)]);
      scoreColours(scores, s.truth, read, light);
      s.truth.panels.forEach(({ lab: [l] }, k) => {
        if (l < DARK)
          scores.add('held dark', Math.abs(read.ensemble.lab[k][0] - l) <= read.u95[k][0] ? 1 : 0);
      });
    }
  return scores;
}

const DARK = 35;

describe('a card on which a window is mirrored softly towards one end', () => {
  let plain: Scores;
  let sheen: Scores;

  beforeAll(() => {
    plain = photos({ most: 0 });
    sheen = photos({ most: 0.03 });
  });

  it('gives panels the colours that it gives without', () => {
    // taken for the card's own light it makes dark panels 5 L* too dark, and 2.5 ΔE2000 of all of them
    expect(sheen.mean('error')).toBeLessThan(1.15 * plain.mean('error'));
    expect(sheen.mean('pair error')).toBeLessThan(1.25 * plain.mean('pair error'));
  });

  it('and intervals that hold them', () => {
    expect(sheen.mean('held L*')).toBeGreaterThan(0.92);
    expect(sheen.mean('pair held')).toBeGreaterThan(0.94);
  });

  it('is doubted by as much as it is not told, where it is faint', () => {
    // neither undone nor doubted, 1 % holds the lightness of half the dark panels
    const faint = photos({ most: 0.01 });
    expect(faint.count('held dark')).toBeGreaterThan(80);
    expect(faint.mean('held dark')).toBeGreaterThan(0.92);
    expect(faint.mean('error')).toBeLessThan(1.15 * plain.mean('error'));
  });

  it.each([0.01, 0.02])('may lie over the strips too, %s of white', (onStrips) => {
    const both = photos({ most: 2 * onStrips, onStrips });
    expect(both.mean('held L*')).toBeGreaterThan(0.92);
    expect(both.mean('held dark')).toBeGreaterThan(0.92);
    expect(both.mean('error')).toBeLessThan(1.2 * plain.mean('error'));
  });

  it('is told on a second copy of the card as on the first', () => {
    const twice = photos({ most: 0.02, isTwice: true });
    expect(twice.mean('held L*')).toBeGreaterThan(0.92);
    expect(twice.mean('held dark')).toBeGreaterThan(0.92);
  });
});
