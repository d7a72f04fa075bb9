/**
 * How well texture and stripes are told in rendered photos of panels whose flakes and stripes are known:
 *
 *   npm run bench:texture [PHOTOS] [SEEDS]
 */
import type { PanelSurface } from '../../src/core/lights/surface.ts';
import { compareTexture } from '../../src/core/panel/texture/index.ts';
import { surfacesOf } from './texture/finished-panels.ts';

const photos = Number(process.argv[2] ?? 5);
const seeds = (process.argv[3] ?? '7,8,9').split(',').map(Number);
const print = (line: string): void => {
  process.stdout.write(`${line}\n`);
};

const FLAKES_MM = [0.1, 0.17, 0.28, 0.45, 0.7, 1.1];
const PANELS = 8;

/** From here on flakes are clipped so that the figure may be that many times as high. */
const CLIPPED = 1.05;

/** Of every two panels, whether the one of the coarser flakes is said to sparkle more. */
function ranked(surfaces: readonly PanelSurface[]): string {
  const words = surfaces.flatMap((finer, i) =>
    surfaces
      .slice(i + 1)
      .map((coarser) =>
        coarser.texture && finer.texture
          ? (compareTexture(coarser.texture, finer.texture, true)?.words ?? '')
          : '',
      ),
  );
  const bright = words.filter((w) => w.includes('too bright')).length;
  const more = words.filter((w) => w.includes('sparkles more')).length - bright;
  const less = words.filter((w) => w.includes('sparkles less')).length;
  const byGrain = words.filter((w) => !w.includes('sparkles') && w.includes('coarser')).length;
  return `${more} right, ${less} wrong, ${bright} too bright to tell, ${words.length - more - less - bright} not told, of these ${byGrain} coarser`;
}

async function flakeSizes(seed: number): Promise<void> {
  const read = (px_per_mm: number) =>
    surfacesOf({
      seed,
      px_per_mm,
      panels: FLAKES_MM.length,
      finish: (i) => ({
        grain: 0,
        flakes: { size_mm: FLAKES_MM[i], cover: 0.3, gleam: 3, seed: 10 * seed + i },
      }),
    });
  const [coarse, fine] = [await read(9), await read(23)];
  const figures = [coarse, fine].map((s) => s.map((p) => p.texture?.figure ?? Number.NaN));
  print(`flakes of ${FLAKES_MM.join(', ')} mm, bench ${seed}`);
  for (const [k, s] of [coarse, fine].entries())
    print(
      `  ${s[0].texture?.photo_px_per_mm.toFixed(1)} px/mm: ${figures[k].map((v) => v.toFixed(2)).join(' ')}, grain ${s.map((p) => p.texture?.grain_mm.toFixed(2)).join(' ')}`,
    );
  const apart = figures[0].map((v, i) => Math.abs(v / figures[1][i] - 1));
  const isClipped = (i: number): boolean =>
    [coarse, fine].some((s) => (s[i].texture?.clipped_gain ?? 1) > CLIPPED);
  const largest = (clipped: boolean): string => {
    const of = apart.filter((_, i) => isClipped(i) === clipped);
    return of.length === 0 ? 'none' : `${of.length} panels, ${(100 * Math.max(...of)).toFixed(1)} %`;
  };
  print(`  largest change: ${largest(false)}; with clipped flakes: ${largest(true)}`);
  print(`  pairs, coarser against finer: ${[coarse, fine].map((s) => ranked(s)).join('; ')}`);
}

async function stripes(): Promise<void> {
  const counts = { even: 0, stripedEven: 0, striped: 0, found: 0, otherKind: 0, everyOff: 0, de00: 0 };
  for (let i = 0; i < photos; i++)
    for (const isStriped of [false, true]) {
      const every = (k: number): number => 7 + 1.7 * ((k + 3 * i) % 8);
      const surfaces = await surfacesOf({
        seed: 500 + i,
        px_per_mm: 6,
        panels: PANELS,
        light: (['day', 'warm-led', 'lamp'] as const)[i % 3],
        finish: (k) => ({
          ...(k % 2 === 1 && {
            flakes: { size_mm: 0.2 + 0.1 * k, cover: 0.3, gleam: 1.5, seed: 100 * i + k },
          }),
          ...(isStriped && {
            stripes: {
              every_mm: every(k),
              depth: 0.05,
              along: k % 3 === 0 ? ('x' as const) : ('y' as const),
            },
          }),
        }),
      });
      surfaces.forEach(({ evenness, panel }, k) => {
        if (!evenness) return;
        if (process.env.VERBOSE)
          print(
            `    ${isStriped ? `stripes every ${every(k).toFixed(1)}` : 'even'} ${panel}: ${evenness.kind} ${JSON.stringify(evenness.stripes)} mottling ${evenness.mottling_de00.toFixed(2)} rim ${evenness.edges_de00.toFixed(2)}`,
          );
        if (!isStriped) {
          counts.even++;
          if (evenness.stripes) counts.stripedEven++;
          if (evenness.kind !== 'even' && !evenness.stripes) counts.otherKind++;
          return;
        }
        counts.striped++;
        if (!evenness.stripes) return;
        counts.found++;
        counts.everyOff += Math.abs(evenness.stripes.every_mm - every(k)) / every(k);
        counts.de00 += evenness.stripes.de00;
      });
    }
  print(
    `${counts.striped} panels with stripes of 5 %: ${counts.found} told, spacing within ${((100 * counts.everyOff) / counts.found).toFixed(1)} % on average, ${(counts.de00 / counts.found).toFixed(2)} ΔE from crest to trough`,
  );
  print(
    `${counts.even} even panels: ${counts.stripedEven} called striped, ${counts.otherKind} mottled or uneven at the rim`,
  );
}

await stripes();
for (const seed of seeds) await flakeSizes(seed);
