import { readingError } from '../../../src/core/film/reading.ts';
import type { FilmData, Recipe } from '../../../src/core/film/types.ts';
import type { SimulatedJob } from './jobs.ts';
import type { Triple } from './spectra.ts';
import type { Spray } from './world.ts';

export function recipeOf(s: Spray): Recipe {
  return {
    ground: `g${s.ground + 1}`,
    parts: Object.fromEntries(s.parts.map((p, i) => [`t${i + 1}`, p])),
    carrier: s.carrier,
    reducer_pct: 0,
    coats: s.coats,
    clear: s.clear,
  };
}

/** A simulated job as the film model's input. The target was read in a photo of its own. */
export function dataOf(job: SimulatedJob, target?: Triple): FilmData {
  const { own, shared } = readingError(job.u, true);
  return {
    white: 'D50/2',
    tints: job.world.dyes.map((_, i) => `t${i + 1}`),
    grounds: job.world.grounds.map((_, i) => `g${i + 1}`),
    panels: job.panels.map((p) => ({
      id: p.id,
      recipe: recipeOf(p.spray),
      reading: { lab: p.lab, own, group: p.photo },
    })),
    ...(target ? { target: { lab: target, own, group: 'target' } } : {}),
    groups: new Map([...job.panels.map((p) => p.photo), 'target'].map((photo) => [photo, shared])),
    warnings: [],
  };
}
