import { describe, expect, it } from 'vitest';
import { randomSceneUnderLights, sceneReadings } from '../../samples/scene/index.ts';
import type { ScenePanel } from '../../samples/scene/panels.ts';
import { OWN_CARD } from '../../src/core/card/own.ts';
import { readAsSeen } from '../../src/core/correction/as-seen.ts';
import { drawsOf } from '../../src/core/lights/drawn-difference.ts';
import { correctionOf } from '../bench/accuracy/run-scene.ts';
import { builtPair } from '../bench/lights/metameric-pairs.ts';

/** A bench in daylight and under a tube, with one grey panel and one of a candy. */
function bench() {
  const [candy] = builtPair(1000).panels;
  const grey: ScenePanel = { ...candy, id: 'grey', kind: 'solid', spectrum: candy.spectrum.map(() => 0.2) };
  return randomSceneUnderLights(
    7000,
    { family: 'judge', pixels: 'linear', card: OWN_CARD, cardTier: 'measured', panels: 2 },
    ['day', 'tri-phosphor'],
  ).map((s) => sceneReadings({ ...s, panels: [grey, { ...candy, id: 'candy' }] }));
}

const photos = bench();
const corrections = photos.map((photo) => correctionOf(photo));

/** Standard deviation per Lab axis of how the difference of two sightings of one reading changes from light to light. */
function doubtOfChange(panel: number, off_mm: number, groups: readonly [string, string]): number[] {
  const { ensemble, members } = readAsSeen(
    'D50/2',
    ['a', 'b'],
    corrections,
    photos.flatMap(({ panels }, photo) =>
      groups.map((group, thing) => {
        const { id, reading, at_mm } = panels[panel];
        return {
          thing,
          photo,
          group,
          reading: { id, reading, at_mm: [at_mm[0] + thing * off_mm, at_mm[1]] as const },
        };
      }),
    ),
  );
  const at = (thing: number, light: number): Float64Array =>
    drawsOf(
      ensemble,
      members.findIndex((m) => m.thing === thing && m.light === light),
    );
  const [a0, b0, a1, b1] = [at(0, 0), at(1, 0), at(0, 1), at(1, 1)];
  const change = a0.map((v, i) => v - b0[i] - a1[i] + b1[i]);
  return [0, 1, 2].map((axis) => {
    const own = change.filter((_, i) => i % 3 === axis);
    const mean = own.reduce((s, v) => s + v, 0) / own.length;
    return Math.sqrt(own.reduce((s, v) => s + (v - mean) ** 2, 0) / own.length);
  });
}

describe('how a difference changes from light to light', () => {
  it('is told of grey panels at the bench’s ends less surely than of neighbours: light drifts in colour', () => {
    const [near, far] = [5, 300].map((off_mm) => doubtOfChange(0, off_mm, ['grey', 'grey']));
    expect(far[2]).toBeGreaterThan(1.1 * near[2]);
    expect(far[2]).toBeLessThan(1.5 * near[2]);
  });

  it('is told of one paint better than of two that three channels see alike', () => {
    const [one, two] = [['red', 'red'] as const, ['red', 'other red'] as const].map((groups) =>
      doubtOfChange(1, 5, groups),
    );
    expect(Math.hypot(...two)).toBeGreaterThan(1.7 * Math.hypot(...one));
  });
});
