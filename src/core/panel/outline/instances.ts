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
  const bare = panel.map((p, at) => (barred?.[at] ? 0 : p * Math.min(1, 2 - 2 * object[at])));
  const inner = bare.map((p, at) => p * (1 - edge[at]));
  const everything = new Int32Array(panel.length).map((_, at) => at);
  const seeds = componentsOf(everything, inner, width, LEVELS[0]).flatMap((pixels) =>
    partsOf(inner, width, pixels, 0),
  );
  const owner = grownBack(seeds, bare, width, height);
  return pixelsOf(owner, seeds.length)
    .map((pixels) => ({ pixels, fit: fitOf(pixels, width), confidence: meanOver(panel, pixels) }))
    .filter(({ confidence }) => confidence >= LEAST_CONFIDENCE);
}

/** The pixels of each owner, in order. */
function pixelsOf(owner: Int16Array, owners: number): Int32Array[] {
  const counts = new Int32Array(owners);
  for (let at = 0; at < owner.length; at++) if (owner[at] >= 0) counts[owner[at]]++;
  const pixels = Array.from(counts, (count) => new Int32Array(count));
  counts.fill(0);
  for (let at = 0; at < owner.length; at++) {
    const one = owner[at];
    if (one >= 0) pixels[one][counts[one]++] = at;
  }
  return pixels;
}

function meanOver(values: Float32Array, pixels: Int32Array): number {
  let sum = 0;
  for (let i = 0; i < pixels.length; i++) sum += values[pixels[i]];
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
  openFrom(open, among, values, least);
  for (let ring = 0; ring < worn; ring++) wearDown(open, among, width, ring % 2 === 1);
  const found: Int32Array[] = [];
  const stack = new Int32Array(among.length);
  for (let i = 0; i < among.length; i++) {
    if (!open[among[i]]) continue;
    const end = gather(among[i], open, width, stack);
    if (end >= FEWEST) found.push(stack.slice(0, end));
  }
  return found;
}

function openFrom(open: Uint8Array, among: Int32Array, values: Float32Array, least: number): void {
  for (let i = 0; i < among.length; i++) if (values[among[i]] >= least) open[among[i]] = 1;
}

/** Moves all open pixels that hang together with the first one to `stack`; answers how many. */
function gather(first: number, open: Uint8Array, width: number, stack: Int32Array): number {
  open[first] = 0;
  let read = 0;
  let end = 1;
  stack[0] = first;
  while (read < end) {
    sidesOf(stack[read++], width, open.length);
    for (let side = 0; side < 4; side++) {
      const next = sides[side];
      if (next < 0 || !open[next]) continue;
      open[next] = 0;
      stack[end++] = next;
    }
  }
  return end;
}

/** Takes away the pixels that have one outside beside them, every other time also those with one at a corner. */
function wearDown(open: Uint8Array, among: Int32Array, width: number, corners: boolean): void {
  const gone: number[] = [];
  for (let i = 0; i < among.length; i++) {
    const at = among[i];
    if (!open[at]) continue;
    sidesOf(at, width, open.length);
    let isInside = true;
    for (let side = 0; side < 4; side++) if (sides[side] < 0 || !open[sides[side]]) isInside = false;
    if (isInside && corners)
      isInside = !!(
        open[at - width - 1] &&
        open[at - width + 1] &&
        open[at + width - 1] &&
        open[at + width + 1]
      );
    if (!isInside) gone.push(at);
  }
  for (const at of gone) open[at] = 0;
}

/** Left, right, above, below; −1 outside the maps. One place for all of them: an array for each pixel takes longer than the rest. */
const sides = new Int32Array(4);

function sidesOf(at: number, width: number, size: number): void {
  const x = at % width;
  sides[0] = x > 0 ? at - 1 : -1;
  sides[1] = x + 1 < width ? at + 1 : -1;
  sides[2] = at >= width ? at - width : -1;
  sides[3] = at + width < size ? at + width : -1;
}

/** Which seed each pixel belongs to (−1 none), after the seeds have taken back, ring by ring, what is panel about them. */
function grownBack(
  seeds: readonly Int32Array[],
  panel: Float32Array,
  width: number,
  height: number,
): Int16Array {
  const owner = new Int16Array(width * height).fill(-1);
  let rim: number[] = [];
  seeds.forEach((pixels, i) => {
    for (const at of pixels) {
      owner[at] = i;
      rim.push(at);
    }
  });
  for (let ring = 0; ring < GROWN_BACK; ring++) {
    const next: number[] = [];
    for (const at of rim) {
      sidesOf(at, width, owner.length);
      for (let side = 0; side < 4; side++) {
        const to = sides[side];
        if (to < 0 || owner[to] >= 0 || panel[to] < 0.5) continue;
        owner[to] = owner[at];
        next.push(to);
      }
    }
    rim = next;
  }
  return owner;
}
