/** What Match and Lights say: directions no surer than the list's, photos and panels by the painter's names. */
import { describe, expect, it } from 'vitest';
import type { Job } from '../../shared/schemas/job.ts';
import { directionsOf } from '../../src/app/match/sentences.ts';
import { inWords, photoInWords } from '../../src/app/photos/in-words.ts';
import { emptyJob } from '../../src/app/store/find.ts';
import type { Lab } from '../../src/core/color/index.ts';
import { comparePanels, type Difference } from '../../src/core/compare/index.ts';
import { seededRandom } from '../../src/core/math/random.ts';

/** Two colours of which each axis is known within `sd`. */
function difference(of: readonly number[], sd: readonly number[]): Difference {
  const { normal } = seededRandom(4);
  const target = [45, 40, 30];
  const lab = [of, [0, 0, 0]].map(([l, a, b]): Lab => [target[0] + l, target[1] + a, target[2] + b]);
  const count = 400;
  const draws = Float64Array.from({ length: count * 6 }, (_, k) => {
    const [i, axis] = [Math.floor((k % 6) / 3), k % 3];
    return lab[i][axis] + (i === 0 ? sd[axis] * normal() : 0);
  });
  return comparePanels({ ids: ['p1', 'target'], white: 'D50/2', lab, count, draws }).target[0];
}

const wordsOf = (d: Difference): readonly string[] => directionsOf(d).map(({ words }) => words);

describe('the directions beside the large picture', () => {
  it('are those of the list, each at its own figure', () => {
    const told = difference([4, -4, -3], [0.2, 0.2, 0.2]);
    expect(told.direction.split(', ')).toHaveLength(2);
    expect(wordsOf(told)).toEqual([
      expect.stringMatching(/lighter$/),
      expect.stringMatching(/duller$/),
      'no clear difference',
    ]);
  });

  it('name no hue for a small turn that the draws do not agree on', () => {
    const told = difference([4, -0.3, 0.4], [0.2, 1, 1]);
    expect(told.dH).toBeGreaterThan(0.3);
    expect(wordsOf(told)[2]).toBe('no clear difference');
  });

  it('name nothing where no difference is sure', () => {
    expect(wordsOf(difference([1, 1, 1], [2, 2, 2]))).toEqual(Array(3).fill('no clear difference'));
  });

  it('hold both words of a near grey', () => {
    const grey = { ...difference([4, 0, 0], [0.2, 0.2, 0.2]), direction: 'a little redder, yellower' };
    expect(wordsOf(grey)).toEqual([
      'no clear difference',
      'no clear difference',
      'a little redder, yellower',
    ]);
  });
});

const SUN = 'f9a3d193-5009-4c9e-8d0e-b4f1c0a00001';
const NOON = 'f9a3d193-5009-4c9e-8d0e-b4f1c0a00002';

function job(...names: readonly string[]): Job {
  return {
    ...emptyJob('Bench'),
    photos: [SUN, NOON].map((id, i) => ({
      id,
      file: `photos/${id}.jpg`,
      name: names[i],
      light: 'sun' as const,
      view: 'face' as const,
    })),
    panels: [
      { id: 'p1', name: 'Garnet, 3 coats', measured: [] },
      { id: 'p12', name: 'Bare silver', measured: [] },
    ],
  };
}

describe('what Lights calls by id', () => {
  it('is a photo by its name, and by its place too where cameras name all alike', () => {
    expect(photoInWords(job('IMG_1.jpg', 'IMG_2.jpg'), NOON)).toBe('IMG_2.jpg');
    expect(photoInWords(job('image.jpg', 'image.jpg'), NOON)).toBe('image.jpg, photo 2');
  });

  it('is a photo or panel within the sentences of the core', () => {
    const bench = job('IMG_1.jpg', 'IMG_2.jpg');
    expect(inWords(bench, `redder in the sun (photo ${NOON}) than in the sun (photo ${SUN})`)).toBe(
      'redder in the sun (photo IMG_2.jpg) than in the sun (photo IMG_1.jpg)',
    );
    expect(inWords(bench, `p12 looks different in photos ${SUN} and ${NOON} by more`)).toBe(
      'Bare silver looks different in photos IMG_1.jpg and IMG_2.jpg by more',
    );
    expect(inWords(bench, `p1: face and flop were photographed`)).toBe(
      'Garnet, 3 coats: face and flop were photographed',
    );
    expect(inWords(bench, 'nearly matches in the sun')).toBe('nearly matches in the sun');
  });

  it('is a panel in the warnings of Match', () => {
    expect(inWords(job(), 'p1, p12 are not cleared while others are: clear darkens')).toBe(
      'Garnet, 3 coats, Bare silver are not cleared while others are: clear darkens',
    );
  });
});
