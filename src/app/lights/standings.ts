/** Each panel beside the target in every light that both were photographed in. */
import type { Job } from '../../../shared/schemas/job.ts';
import type { Lab } from '../../core/color/index.ts';
import type { Lights, PairInLights } from '../../core/lights/types.ts';
import { inWords } from '../photos/in-words.ts';
import { panelName } from '../store/find.ts';

export interface SeenIn {
  readonly light: string;
  readonly panel: Lab;
  readonly target: Lab | undefined;
  readonly difference: PairInLights['by_light'][number] | undefined;
}

export interface StandingInLights {
  readonly panel: string;
  readonly name: string;
  readonly verdict: PairInLights['verdict'] | undefined;
  readonly words: string;
  /** By light, in the order of `lightsShown`; undefined where there is no photo of it. */
  readonly seen: readonly (SeenIn | undefined)[];
  /** How the panel itself changes. */
  readonly shifts: readonly string[];
}

const LIGHT_TITLES: Readonly<Record<string, string>> = {
  sun: 'In the sun',
  shade: 'In the shade',
  shop: 'Shop light',
  lamp: 'Under the lamp',
  other: 'Light not said',
};

export const lightTitle = (light: string): string => LIGHT_TITLES[light] ?? light;

/** Kinds of light of the job's face photos, in the painter's order. */
export function lightsShown({ photos }: Lights): readonly string[] {
  const there = new Set(photos.filter((p) => p.view === 'face').map((p) => p.light));
  return Object.keys(LIGHT_TITLES).filter((light) => there.has(light));
}

/** Panels closest to the target first; without a target in the job's order. */
export function standingsIn(job: Job, lights: Lights): readonly StandingInLights[] {
  const lightOf = new Map(lights.photos.map((p) => [p.id, p]));
  const seenAs = (panel: string, light: string): Lab | undefined =>
    lights.panels
      .find((p) => p.panel === panel)
      ?.by_photo.find(
        ({ photo }) => lightOf.get(photo)?.light === light && lightOf.get(photo)?.view === 'face',
      )?.lab_as_seen;
  const shown = lightsShown(lights);
  const off = (pair: PairInLights | undefined): number =>
    pair && pair.by_light.length > 0
      ? pair.by_light.reduce((sum, l) => sum + l.de00, 0) / pair.by_light.length
      : Number.POSITIVE_INFINITY;
  return lights.panels
    .filter((p) => p.panel !== 'target')
    .map(({ panel, shifts }) => {
      const pair = lights.pairs.find(
        ({ a, b }) => (a === panel && b === 'target') || (a === 'target' && b === panel),
      );
      return {
        off: off(pair),
        standing: {
          panel,
          name: panelName(job, panel),
          verdict: pair && new Set(pair.by_light.map((l) => l.light)).size > 1 ? pair.verdict : undefined,
          words: inWords(job, pair?.words ?? ''),
          seen: shown.map((light): SeenIn | undefined => {
            const lab = seenAs(panel, light);
            return (
              lab && {
                light,
                panel: lab,
                target: seenAs('target', light),
                difference: pair?.by_light.find((l) => l.light === light),
              }
            );
          }),
          shifts: shifts.map((s) => inWords(job, s.words)),
        },
      };
    })
    .sort((p, q) => p.off - q.off)
    .map(({ standing }) => standing);
}
