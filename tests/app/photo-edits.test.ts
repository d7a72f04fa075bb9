/** Outlines found and what they are taken to be; what the screen says of checks, lights and colours. */
import { describe, expect, it } from 'vitest';
import type { Job } from '../../shared/schemas/job.ts';
import { leaveOut, place, withoutPhoto } from '../../src/app/photos/edits.ts';
import { alike, asIn, besides, firstGuess, NEW, OUT, withTaken } from '../../src/app/photos/found.ts';
import { boxQuad, storedQuad } from '../../src/app/photos/quads.ts';
import {
  checkSentence,
  colourWords,
  hintInApp,
  isLabelled,
  named,
  recipeLine,
} from '../../src/app/photos/words.ts';
import { emptyJob } from '../../src/app/store/find.ts';
import { parseJob } from '../../src/core/job/index.ts';

const at = (x: number, y = 100) => storedQuad(boxQuad([x, y], [x + 80, y + 90]));

function benchJob(): Job {
  return {
    ...emptyJob('Bench'),
    photos: ['a', 'b'].map((id) => ({ id, file: `${id}.jpg`, light: 'sun' as const, view: 'face' as const })),
    panels: [
      { id: 'p1', measured: [{ photo: 'a', corners_px: at(300) }] },
      { id: 'p2', measured: [{ photo: 'a', corners_px: at(100) }] },
      { id: 'p3', measured: [] },
    ],
  };
}

describe('outlines found in a photo', () => {
  it('are the panels that wait for a photo when there are as many, else new ones', () => {
    expect(firstGuess(benchJob(), 1)).toEqual(['p3']);
    expect(firstGuess(benchJob(), 2)).toEqual([NEW, NEW]);
  });

  it('are in order what lies in another photo of the same bench, without those that are no panels', () => {
    const job = benchJob();
    expect(alike(job, 'b', [OUT, NEW, NEW])).toEqual(['a']);
    expect(alike(job, 'b', [NEW, NEW, NEW])).toEqual([]);
    expect(asIn(job, 'a', [OUT, NEW, NEW])).toEqual([OUT, 'p2', 'p1']);
  });

  it('never give one panel two places', () => {
    expect(withTaken(['p1', NEW], 1, 'p1')).toEqual([NEW, 'p1']);
    expect(withTaken([NEW, NEW], 1, NEW)).toEqual([NEW, NEW]);
  });
});

describe('outlines found beside the target', () => {
  it('leave out what is the target itself, and keep its neighbours', () => {
    const job = benchJob();
    place(job, 'target', 'b', boxQuad([100, 100], [200, 200]));
    const neighbour = boxQuad([260, 100], [360, 200]);
    expect(besides(job, 'b', [boxQuad([110, 95], [210, 190]), neighbour])).toEqual([neighbour]);
  });
});

describe('a place', () => {
  it('moves in its photo and joins those in others', () => {
    const job = benchJob();
    place(job, 'p1', 'a', boxQuad([1, 1], [50, 50]));
    place(job, 'p1', 'b', boxQuad([2, 2], [60, 60]));
    place(job, 'target', 'b', boxQuad([100, 2], [160, 60]));
    expect(job.panels[0].measured.map((m) => m.photo)).toEqual(['a', 'b']);
    expect(job.panels[0].measured[0].corners_px?.[0]).toEqual([1, 1]);
    expect(parseJob(JSON.parse(JSON.stringify(job)), 'here').target?.measured).toHaveLength(1);
  });

  it('goes with its photo, and the target with its last', () => {
    const job = benchJob();
    place(job, 'target', 'a', boxQuad([100, 2], [160, 60]));
    withoutPhoto(job, 'a');
    expect(job.target).toBeUndefined();
    expect(job.panels.every((p) => p.measured.length === 0)).toBe(true);
    expect(parseJob(JSON.parse(JSON.stringify(job)), 'here').photos).toHaveLength(1);
  });

  it('makes no edit when no job is open', async () => {
    await expect(leaveOut('a', 'N1', true)).resolves.toBeUndefined();
  });
});

describe('the words', () => {
  it('say what differences to trust, never less than one', () => {
    expect(checkSentence(0.8)).toMatch(/within 0.8 on average: trust differences of 1 and more/);
    expect(checkSentence(1.76)).toMatch(/trust differences of 2 and more/);
    expect(checkSentence(5)).toMatch(/do not trust/);
    expect(checkSentence(Number.NaN)).toMatch(/Too few patches/);
  });

  it('name plain colours as anyone would', () => {
    // CIELAB of the sRGB primaries and of yellow under D65 (CIE 15, IEC 61966-2-1), from memory
    expect(colourWords([53.2, 80.1, 67.2])).toMatch(/strong red$/);
    expect(colourWords([87.7, -86.2, 83.2])).toMatch(/green$/);
    expect(colourWords([97.1, -21.6, 94.5])).toMatch(/yellow$/);
    expect(colourWords([32.3, 79.2, -107.9])).toMatch(/violet$|blue$/);
    expect(colourWords([50, 0, 0])).toBe('medium, grey');
  });

  it('call panels by name where the core knows ids, and only the panel meant', () => {
    expect(named('Panel p1 is uneven; panel p10 is not.', 'p1', 'Lid')).toBe(
      'Lid is uneven; panel p10 is not.',
    );
  });

  it('speak of buttons where the core’s hints speak of the command line', () => {
    const hint = 'Lay this card beside the panels, or name the card that was used with --card.';
    expect(hintInApp(hint)).toBe('Lay this card beside the panels, or choose the card that was used.');
    expect(hintInApp('Place it by its four corners with --card-corners.')).toBe(
      'Place it by its four corners by hand.',
    );
  });

  it('tell a recipe that is whole from one that is not', () => {
    const panel = { id: 'p1', measured: [] };
    expect(recipeLine(benchJob(), panel)).toBe('No recipe yet');
    expect(isLabelled({ ...panel, ground: 'g', coats: 0 })).toBe(true);
    expect(isLabelled({ ...panel, ground: 'g', coats: 2 })).toBe(false);
    expect(isLabelled({ ...panel, ground: 'g', coats: 2, mix: { parts: { t: 1 } } })).toBe(true);
  });
});
