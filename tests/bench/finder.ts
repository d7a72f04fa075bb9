// How well panels are found: npx tsx tests/bench/finder.ts [scenes] [large scenes] [first seed]. Rendered
// photos are kept in a temporary folder, so that a second run only measures. Seeds 1 to 320 were looked at while the finder
// was made.

import type { PanelsFile } from '../../shared/schemas/panels.ts';
import { OWN_CARD } from '../../src/core/card/own.ts';
import { placeByCorners } from '../../src/core/card/place.ts';
import { deltaE2000 } from '../../src/core/color/index.ts';
import { measurePhoto } from '../../src/core/measure/index.ts';
import { readCard } from '../../src/core/measure/read-card.ts';
import { findPanels } from '../../src/core/panel/index.ts';
import {
  type OutlinedPanel,
  outlinePanels,
  pictureForFinder,
  type Segment,
} from '../../src/core/panel/outline/index.ts';
import type { PointPx, QuadPx } from '../../src/core/photo/types.ts';
import { loadFinder } from '../../src/node/finder.ts';
import { readPhoto } from '../../src/node/read-photo.ts';
import { overlap } from './finder/overlap.ts';
import { type KeptScene, keptScene } from './finder/scenes.ts';

const SAME = 0.9;

interface Score {
  real: number;
  met: number;
  found: number;
  right: number;
  corners: number[];
}

const blank = (): Score => ({ real: 0, met: 0, found: 0, right: 0, corners: [] });
const share = (a: number, b: number): string => `${((100 * a) / Math.max(1, b)).toFixed(1)} %`;
const median = (values: readonly number[]): number =>
  [...values].sort((a, b) => a - b)[values.length >> 1] ?? Number.NaN;
const quantile = (values: readonly number[], q: number): number =>
  [...values].sort((a, b) => a - b)[Math.min(values.length - 1, Math.floor(q * values.length))] ?? Number.NaN;

function panelsFile(quads: readonly QuadPx[]): PanelsFile {
  const panels = quads.map((corners_px, i) => ({ id: `p${i}`, corners_px }));
  return { format: 'sprayout-panels/1', panels } as unknown as PanelsFile;
}

/** A found outline beside the real one it shares most with. */
function match(
  real: readonly (readonly PointPx[])[],
  outline: readonly PointPx[],
): { at: number; iou: number } {
  return real.reduce(
    (best, one, at) => {
      const iou = overlap(one, outline);
      return iou > best.iou ? { at, iou } : best;
    },
    { at: -1, iou: 0 },
  );
}

function count(score: Score, scene: KeptScene, outlines: readonly (readonly PointPx[])[]): void {
  const real = scene.panels.map((p) => p.outline_px);
  const met = new Set<number>();
  for (const outline of outlines) {
    const { at, iou } = match(real, outline);
    score.found++;
    if (iou < SAME) continue;
    score.right++;
    met.add(at);
    if (outline.length === 4 && real[at].length === 4)
      for (const p of outline)
        score.corners.push(Math.min(...real[at].map((q) => Math.hypot(p[0] - q[0], p[1] - q[1]))));
  }
  score.real += real.length;
  score.met += met.size;
}

function row(what: string, { real, met, found, right, corners }: Score): void {
  console.log(
    `${what.padEnd(34)} recall ${share(met, real).padStart(7)}   precision ${share(right, found).padStart(7)}   ` +
      `corners median ${median(corners).toFixed(2)} px, 95 % ${quantile(corners, 0.95).toFixed(1)} px   (${real} panels)`,
  );
}

async function outlined(
  segment: Segment,
  scene: KeptScene,
): Promise<{ panels: OutlinedPanel[]; simple: QuadPx[] }> {
  const { raster } = await readPhoto(scene.file);
  const cards = [placeByCorners(OWN_CARD, scene.card_px)];
  const maps = await segment(pictureForFinder(raster));
  const simple = findPanels(raster, cards).map((p) => p.corners_px);
  return { panels: outlinePanels(raster, cards, maps), simple };
}

async function benchOutlines(
  segment: Segment,
  first: number,
  scenes: number,
  choice: Parameters<typeof keptScene>[1],
): Promise<void> {
  const groups = new Map<string, { network: Score; simple: Score }>();
  for (let seed = first; seed < first + scenes; seed++) {
    const scene = await keptScene(seed, choice);
    try {
      const { panels, simple } = await outlined(segment, scene);
      for (const key of ['all', scene.arrangement, `on ${scene.bench}`]) {
        const group = groups.get(key) ?? { network: blank(), simple: blank() };
        groups.set(key, group);
        count(
          group.network,
          scene,
          panels.map((p) => p.outline_px),
        );
        count(group.simple, scene, simple);
      }
    } catch (error) {
      console.log(`scene ${seed}: ${(error as Error).message}`);
    }
  }
  console.log(
    `\n${scenes} scenes, ${choice.width_px} px wide${choice.undisturbed ? ', nothing on the panels and no shadows' : ''}; an outline counts at IoU ≥ ${SAME}`,
  );
  for (const [key, { network, simple }] of [...groups].sort()) {
    row(key, network);
    row('   without the network', simple);
  }
}

/** Colour read by found corners beside colour read by the real ones, ΔE2000. */
async function benchColours(segment: Segment, first: number, scenes: number): Promise<void> {
  const apart: number[] = [];
  for (let seed = first; seed < first + scenes; seed++) {
    const scene = await keptScene(seed, { width_px: 1600 });
    const { raster } = await readPhoto(scene.file);
    const maps = await segment(pictureForFinder(raster));
    try {
      const found = (() => {
        const { placed } = readCard(raster, {});
        return outlinePanels(raster, placed, maps);
      })();
      const pairs = found.flatMap((panel) => {
        const { at, iou } = match(
          scene.panels.map((p) => p.outline_px),
          panel.outline_px,
        );
        const real = scene.panels[at];
        return iou >= SAME && real.outline_px.length === 4 ? [{ panel, real }] : [];
      });
      const labs = (quads: readonly QuadPx[]) =>
        measurePhoto(raster, {
          panels: panelsFile(quads),
          maps,
        }).panels.map((p) => p.lab);
      const byFound = labs(pairs.map((p) => p.panel.corners_px));
      const byReal = labs(pairs.map((p) => p.real.outline_px as unknown as QuadPx));
      byFound.forEach((lab, i) => {
        apart.push(deltaE2000(lab, byReal[i]));
      });
    } catch (error) {
      console.log(`scene ${seed}: ${(error as Error).message}`);
    }
  }
  console.log(
    `\ncolour by found outlines beside real ones: within .3 ΔE2000 in ${share(apart.filter((d) => d <= 0.3).length, apart.length)}, ` +
      `median ${median(apart).toFixed(3)}, 95 % ${quantile(apart, 0.95).toFixed(3)} (${apart.length} panels)`,
  );
}

/** The same scenes without mirrored lamps and with one over a fifth of every panel. */
async function benchGlare(segment: Segment, first: number, scenes: number): Promise<void> {
  const errors = {
    none: [] as number[],
    'a fifth': [] as number[],
    'a fifth, maps not used': [] as number[],
  };
  for (let seed = first; seed < first + scenes; seed++)
    for (const glare of ['none', 'a fifth'] as const) {
      const scene = await keptScene(seed, { width_px: 1600, glare, undisturbed: true, arrangement: 'rows' });
      const { raster } = await readPhoto(scene.file);
      const maps = await segment(pictureForFinder(raster));
      const panels = panelsFile(scene.panels.map((p) => p.outline_px as unknown as QuadPx));
      try {
        for (const [key, more] of glare === 'none'
          ? ([['none', { maps }]] as const)
          : ([
              ['a fifth', { maps }],
              ['a fifth, maps not used', {}],
            ] as const))
          measurePhoto(raster, { panels, ...more }).panels.forEach((p, i) => {
            errors[key].push(deltaE2000(p.lab, scene.panels[i].lab));
          });
      } catch (error) {
        console.log(`scene ${seed}: ${(error as Error).message}`);
      }
    }
  const mean = (v: readonly number[]): number => v.reduce((a, b) => a + b, 0) / v.length;
  console.log(`\nglare over a fifth of each panel: mean error in ΔE2000 (median)`);
  for (const [key, values] of Object.entries(errors))
    console.log(
      `  ${key.padEnd(26)} ${mean(values).toFixed(3)} (${median(values).toFixed(3)})   ${(mean(values) / mean(errors.none)).toFixed(2)} ×`,
    );
}

async function benchTime(segment: Segment, file: string): Promise<void> {
  const { raster } = await readPhoto(file);
  const card = readCard(raster, {});
  const parts: Record<string, number[]> = { picture: [], network: [], outlines: [], 'simple finder': [] };
  const timed = async <T>(key: string, work: () => T | Promise<T>): Promise<T> => {
    const start = performance.now();
    const result = await work();
    parts[key].push(performance.now() - start);
    return result;
  };
  for (let i = 0; i < 9; i++) {
    const picture = await timed('picture', () => pictureForFinder(raster));
    const maps = await timed('network', () => segment(picture));
    await timed('outlines', () => outlinePanels(raster, card.placed, maps));
    await timed('simple finder', () => findPanels(raster, card.placed));
  }
  console.log(
    `\ntime, ${((raster.width_px * raster.height_px) / 1e6).toFixed(0)} megapixels, first and median of the later, ms`,
  );
  for (const [key, values] of Object.entries(parts))
    console.log(
      `  ${key.padEnd(16)} ${values[0].toFixed(0).padStart(6)} ${median(values.slice(2)).toFixed(0).padStart(6)}`,
    );
}

const [scenes = 60, large = 6, first = 1] = process.argv.slice(2).map(Number);
const loading = performance.now();
const segment = await loadFinder();
console.log(`network loaded in ${(performance.now() - loading).toFixed(0)} ms`);
if (!segment) throw new Error('the panel finder could not be loaded');
const again = performance.now();
await loadFinder();
console.log(`of that, the network without its runtime ${(performance.now() - again).toFixed(0)} ms`);
if (scenes > 0) {
  await benchOutlines(segment, first, scenes, { width_px: 1600 });
  await benchOutlines(segment, first + 300, Math.ceil(scenes / 3), { width_px: 1600, undisturbed: true });
  await benchColours(segment, first, Math.min(scenes, 30));
  await benchGlare(segment, first + 200, Math.min(scenes, 8));
}
if (large > 0) await benchOutlines(segment, first + 100, large, { width_px: 4000 });
if (large > 0) await benchTime(segment, (await keptScene(first + 100, { width_px: 4000 })).file);
