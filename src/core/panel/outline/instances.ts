/** From the network's maps to single panels, each a set of map pixels. */
import { EDGE_MAP, mapOf, OBJECT_MAP, PANEL_MAP, type PanelMaps } from './maps.ts';
import { type Fit, fitOf } from './shape.ts';

/** One panel's pixels in the maps. */
export interface Instance {
  /** Indices y · width + x. */
  readonly pixels: Int32Array;
  readonly fit: Fit;
  /** Mean probability that its pixels are a panel's. */
  readonly confidence: number;
}

/**
 * Levels of "panel and no edge" at which pixels hang together, and by how many pixels their sets are worn down: panels
 * fused at one level, or by a bridge across their edge, part at a later one.
 */
const LEVELS = [
  { least: 0.3, worn: 0 },
  { least: 0.5, worn: 0 },
  { least: 0.5, worn: 1 },
  { least: 0.65, worn: 2 },
  { least: 0.75, worn: 3 },
  { least: 0.8, worn: 4 },
] as const;
/** Fewest map pixels of a panel at its lowest level, before it is grown back. */
const FEWEST = 24;
/** Panels are drawn in by their edge's width; grown back by so many pixels at most. */
const GROWN_BACK = 7;
/** A component this much like a quadrilateral or an ellipse is not looked into for parts. */
const WELL_SHAPED = 0.93;
/** Parts must cover this share of the whole between them for the whole to be given up. */
const PARTS_SHARE = 0.55;
const SMALLEST_PART = 0.1;
/** Parts on both sides of an edge cover this share of the whole, and each is this well shaped. */
const THIN_LINE_SHARE = 0.72;
const SOUND_PART = 0.86;
const LEAST_CONFIDENCE = 0.6;

/** Parts the maps into panels. Pixels where `barred` is 1 (cards, known by their markers) belong to none. */
export function instancesOf(maps: PanelMaps, barred?: Uint8Array): Instance[] {
  const { width, height } = maps;
  const panel = mapOf(maps, PANEL_MAP);
  const edge = mapOf(maps, EDGE_MAP);
  const object = mapOf(maps, OBJECT_MAP);
  // what lies across two panels must not join them
  const bare = panel.map((p, i) => (barred?.[i] ? 0 : p * Math.min(1, 2 - 2 * object[i])));
  const inner = bare.map((p, i) => p * (1 - edge[i]));
  const everything = Int32Array.from(inner.keys());
  const seeds = componentsOf(everything, inner, width, LEVELS[0]).flatMap((pixels) =>
    partsOf(inner, width, pixels, 0),
  );
  const owner = grownBack(seeds, bare, width, height);
  return seeds
    .map((_, i) => {
      const pixels = everything.filter((at) => owner[at] === i);
      return { pixels, fit: fitOf(pixels, width), confidence: meanOver(panel, pixels) };
    })
    .filter(({ confidence }) => confidence >= LEAST_CONFIDENCE);
}

function meanOver(values: Float32Array, pixels: Int32Array): number {
  let sum = 0;
  for (const at of pixels) sum += values[at];
  return sum / Math.max(1, pixels.length);
}

/** The component itself, or its parts at a higher level where they explain it better. */
function partsOf(inner: Float32Array, width: number, pixels: Int32Array, level: number): Int32Array[] {
  const whole = fitOf(pixels, width).goodness;
  for (let next = level + 1; next < LEVELS.length; next++) {
    const parts = componentsOf(pixels, inner, width, LEVELS[next]).filter(
      (part) => part.length >= SMALLEST_PART * pixels.length,
    );
    if (parts.length < 2) continue;
    const covered = parts.reduce((sum, part) => sum + part.length, 0) / pixels.length;
    const good = parts.map((part) => fitOf(part, width).goodness);
    const usual = parts.reduce((sum, part, i) => sum + part.length * good[i], 0) / (covered * pixels.length);
    // a thin line of edge between sound parts parts a whole that is itself well shaped: two panels side by side
    const isThinLine = covered >= THIN_LINE_SHARE && good.every((g) => g >= SOUND_PART);
    const explainsBetter = covered >= PARTS_SHARE && whole < WELL_SHAPED && usual > whole + 0.02;
    if (isThinLine || explainsBetter) return parts.flatMap((part) => partsOf(inner, width, part, next));
  }
  return [pixels];
}

/** Connected sets (by sides) of those of `among` that reach a level and lie deep enough, the smallest left out. */
function componentsOf(
  among: Int32Array,
  values: Float32Array,
  width: number,
  { least, worn }: (typeof LEVELS)[number],
): Int32Array[] {
  const open = new Uint8Array(values.length);
  for (const at of among) if (values[at] >= least) open[at] = 1;
  for (let ring = 0; ring < worn; ring++) wearDown(open, among, width, ring % 2 === 1);
  const found: Int32Array[] = [];
  const stack = new Int32Array(among.length);
  for (const start of among) {
    if (!open[start]) continue;
    open[start] = 0;
    let read = 0;
    let end = 1;
    stack[0] = start;
    while (read < end) {
      const at = stack[read++];
      for (const next of sidesOf(at, width, open.length)) {
        if (!open[next]) continue;
        open[next] = 0;
        stack[end++] = next;
      }
    }
    if (end >= FEWEST) found.push(stack.slice(0, end));
  }
  return found;
}

/** Takes away the pixels that have one outside beside them, every other time also those with one at a corner. */
function wearDown(open: Uint8Array, among: Int32Array, width: number, corners: boolean): void {
  const gone: number[] = [];
  for (const at of among) {
    if (!open[at]) continue;
    const beside = sidesOf(at, width, open.length);
    const diagonal = corners ? [at - width - 1, at - width + 1, at + width - 1, at + width + 1] : [];
    if (beside.length < 4 || beside.some((to) => !open[to]) || diagonal.some((to) => !open[to]))
      gone.push(at);
  }
  for (const at of gone) open[at] = 0;
}

function sidesOf(at: number, width: number, size: number): number[] {
  const x = at % width;
  const beside: number[] = [];
  if (x > 0) beside.push(at - 1);
  if (x + 1 < width) beside.push(at + 1);
  if (at >= width) beside.push(at - width);
  if (at + width < size) beside.push(at + width);
  return beside;
}

/** Which seed each pixel belongs to (−1 none), after the seeds have taken back, ring by ring, what is panel about them. */
function grownBack(
  seeds: readonly Int32Array[],
  panel: Float32Array,
  width: number,
  height: number,
): Int16Array {
  const owner = new Int16Array(width * height).fill(-1);
  seeds.forEach((pixels, i) => {
    for (const at of pixels) owner[at] = i;
  });
  let rim = seeds.flatMap((pixels) => [...pixels]);
  for (let ring = 0; ring < GROWN_BACK; ring++) {
    const next: number[] = [];
    for (const at of rim)
      for (const to of sidesOf(at, width, owner.length)) {
        if (owner[to] >= 0 || panel[to] < 0.5) continue;
        owner[to] = owner[at];
        next.push(to);
      }
    rim = next;
  }
  return owner;
}
