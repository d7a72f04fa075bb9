import { BINS } from './area-code.ts';
import type { FallOff } from './sample-field.ts';
import type { AreaPixels } from './sample-pixels.ts';
import { FEWEST_TILE_PIXELS, medianOf, type Tiles, tileScatter } from './sample-tiles.ts';

/** What a tile or pixel of an area is taken for. */
export const SOUND = 0;
export const GLARE = 1;
export const DUST = 2;

/** What is known from elsewhere to lie over a pixel of the photo (column, row). */
export type Spoilt = (x: number, y: number) => 'glare' | 'object' | undefined;

/** When more than this share of an area is said to be spoilt, that is not believed. */
const MOST_SPOILT = 0.7;

/** Scatters from the middle at which a tile no longer belongs to the surface. */
const TILE_SCATTERS = 5;
/** Differences below these, in root steps (about L*), are never called glare or dust, however calm the area. */
export const TILE_FLOOR = 0.8;
/** The same beside a tile already left out: glare and shadows end softly. */
const NEIGHBOUR_SCATTERS = 2.5;
const NEIGHBOUR_FLOOR = 0.3;
/** For single pixels; the scatter is taken apart above and below the middle, so that sparkle widens its own side. */
const SPECK_SCATTERS = 6;
const SPECK_FLOOR = 4;
/** More bright specks than this are the surface's own sparkle, and stay. */
const SPARKLE_SHARE = 0.01;
/** An area of which less than this would be left has no one colour to defend: nothing is left out. */
const LEAST_SOUND = 0.4;

/**
 * Glare and dust by region. Each tile's mean, fall-off undone, is held against the median of the sound tiles;
 * beyond max(5 scatters, .8 root steps) in any channel it is left out, and its neighbours at a finer limit,
 * repeated until nothing changes. Brighter in sum and in no channel clearly darker: glare. Else: dust, which here
 * means anything darker or of another hue.
 */
export function classifyTiles(area: AreaPixels, tiles: Tiles, fall: FallOff): Uint8Array {
  const kind = new Uint8Array(tiles.count);
  const judged: number[] = [];
  for (let t = 0; t < tiles.count; t++) if (tiles.pixels[t] >= FEWEST_TILE_PIXELS) judged.push(t);
  if (judged.length < 9) return kind;
  const level = tiles.root.map((root) =>
    root.map((value, t) => value * Math.exp(-(fall.alongU * tiles.u[t] + fall.alongV * tiles.v[t]) / 3)),
  );
  const inside = tileScatter(area, tiles);
  const perTile = medianOf(judged.map((t) => tiles.pixels[t]));
  for (let round = 0; round < 8; round++) {
    const sound = judged.filter((t) => kind[t] === SOUND);
    if (sound.length < LEAST_SOUND * judged.length) return kind.fill(SOUND);
    const middle = level.map((values) => medianOf(sound.map((t) => values[t])));
    const scatter = level.map((values, c) =>
      Math.max(calmerSide(values, sound, middle[c]), inside[c] / Math.sqrt(perTile)),
    );
    const off = (t: number, scatters: number, floor: number): number => {
      let sum = 0;
      let beyond = false;
      let lowest = 0;
      for (let c = 0; c < 3; c++) {
        const limit = Math.max(scatters * scatter[c], floor);
        const d = level[c][t] - middle[c];
        sum += d;
        lowest = Math.min(lowest, d / limit);
        if (Math.abs(d) > limit) beyond = true;
      }
      if (!beyond) return SOUND;
      return sum > 0 && lowest > -0.5 ? GLARE : DUST;
    };
    const next = new Uint8Array(tiles.count);
    for (const t of judged) next[t] = off(t, TILE_SCATTERS, TILE_FLOOR);
    growIntoNeighbours(next, tiles.side, judged, (t) => off(t, NEIGHBOUR_SCATTERS, NEIGHBOUR_FLOOR));
    const settled = next.every((k, t) => k === kind[t]);
    kind.set(next);
    if (settled) break;
  }
  return kind;
}

/** 1.4826 × median distance from the middle, of the side that scatters less: glare and shadow come one-sided. */
function calmerSide(values: Float64Array, members: readonly number[], middle: number): number {
  const above: number[] = [];
  const below: number[] = [];
  for (const t of members) {
    const d = values[t] - middle;
    if (d >= 0) above.push(d);
    if (d <= 0) below.push(-d);
  }
  return 1.4826 * Math.min(medianOf(above), medianOf(below));
}

function growIntoNeighbours(
  kind: Uint8Array,
  side: number,
  judged: readonly number[],
  kindAtFinerLimit: (t: number) => number,
): void {
  for (let changed = true; changed; ) {
    changed = false;
    for (const t of judged) {
      if (kind[t] !== SOUND) continue;
      const finer = kindAtFinerLimit(t);
      if (finer === SOUND) continue;
      const column = t % side;
      const row = (t - column) / side;
      for (let r = Math.max(0, row - 1); r <= Math.min(side - 1, row + 1); r++)
        for (let c = Math.max(0, column - 1); c <= Math.min(side - 1, column + 1); c++)
          if (kind[r * side + c] !== SOUND && kind[t] === SOUND) {
            kind[t] = finer;
            changed = true;
          }
    }
  }
}

const BIN = 0.1;

/**
 * Single pixels far off the surface's own scatter: threads, specks, hot pixels. A pixel beyond
 * max(6 scatters of its side, 4 root steps) in any channel is left out: below as dust, above as glare unless more
 * than 1 % of the area is like it, which is sparkle. Expects fall-off undone; marks the workspace's `kind`.
 */
export function markSpecks({ workspace: { code, out }, count }: AreaPixels): void {
  const limits = [0, 1, 2].flatMap((channel) => {
    code.quartilesOf(count, channel, BINS, BIN);
    const [lower, middle, upper] = out;
    return [
      middle - Math.max(SPECK_SCATTERS * 1.4826 * (middle - lower), SPECK_FLOOR),
      middle + Math.max(SPECK_SCATTERS * 1.4826 * (upper - middle), SPECK_FLOOR),
    ];
  });
  out.set(limits);
  code.markSpecks(count, SPARKLE_SHARE);
}

/** Leaves out what is known from elsewhere to be glare, or an object that lies on the surface (as dust). */
export function markSpoilt({ workspace: { x, y, kind }, count }: AreaPixels, spoilt: Spoilt): void {
  const at: number[] = [];
  for (let i = 0; i < count; i++) if (kind[i] === SOUND && spoilt(x[i], y[i])) at.push(i);
  if (at.length > MOST_SPOILT * count) return;
  for (const i of at) kind[i] = spoilt(x[i], y[i]) === 'glare' ? GLARE : DUST;
}
