import type { Lab } from '../../src/core/color/index.ts';
import type { FilmData, FilmPanel, Recipe } from '../../src/core/film/index.ts';
import { readingError } from '../../src/core/film/reading.ts';
import { NM, type Triple } from '../bench/film-simulator/spectra.ts';
import { sprayPanel, type World } from '../bench/film-simulator/world.ts';

const bell = (nm: number, peak: number, width: number): number => Math.exp(-0.5 * ((nm - peak) / width) ** 2);

/** A shop with a blue-ish candy and a red one over silver, gold and charcoal; an even hand, no noise. */
export const SHOP: World = {
  family: 'gaussian',
  dyes: [
    NM.map((nm) => 0.24 * bell(nm, 610, 45) + 0.1 * bell(nm, 560, 40) + 0.004),
    NM.map((nm) => 0.28 * bell(nm, 520, 40) + 0.08 * bell(nm, 430, 40) + 0.004),
  ],
  haze: [0, 0],
  grounds: [
    NM.map((nm) => 0.62 + 0.00005 * (nm - 555)),
    NM.map((nm) => 0.55 * (0.45 + 0.55 / (1 + Math.exp(-(nm - 505) / 20)))),
    NM.map(() => 0.1),
  ],
  gaps: [0.01, 0.01, 0.01],
  inside: [0.5, 0.5, 0.5],
  surface: 0.012,
  roughSurface: 0.025,
  peel: 0.08,
  oblique: 0.05,
  coatGrowth: 0,
  letdownGrowth: 0,
  hand: 0.06,
  coatToCoat: 0,
  pouring: 0,
  usualCarrier: 5,
};

export const recipe = (
  parts: readonly [number, number],
  coats: number,
  ground: number,
  clear = true,
): Recipe => ({
  ground: `g${ground + 1}`,
  parts: { blue: parts[0], red: parts[1] },
  carrier: 5,
  reducer_pct: 0,
  coats,
  clear,
});

/** What the shop really gets from a recipe. */
export function truth(r: Recipe): Triple {
  return sprayPanel(SHOP, {
    parts: [r.parts.blue ?? 0, r.parts.red ?? 0],
    carrier: r.carrier,
    coats: r.coats,
    ground: Number(r.ground.slice(1)) - 1,
    clear: r.clear,
  });
}

const { own } = readingError(0.3, false);

export const measuredPanel = (id: string, r: Recipe, lab: Triple = truth(r)): FilmPanel => ({
  id,
  recipe: r,
  reading: { lab, own },
});

export function shopData(panels: readonly FilmPanel[], target?: Lab): FilmData {
  return {
    white: 'D50/2',
    tints: ['blue', 'red'],
    grounds: ['g1', 'g2', 'g3'],
    panels,
    ...(target ? { target: { lab: target, own } } : {}),
    groups: new Map(),
    warnings: [],
  };
}

export const BARE: readonly FilmPanel[] = [0, 1, 2].map((g) =>
  measuredPanel(`bare${g + 1}`, { ...recipe([0, 0], 0, g), parts: {} }),
);

/** Nine panels a painter might have: blends of both tints over all grounds. */
export const WALL: readonly FilmPanel[] = [
  ...BARE,
  measuredPanel('p1', recipe([1, 0], 2, 0)),
  measuredPanel('p2', recipe([1, 0], 4, 0)),
  measuredPanel('p3', recipe([5, 1], 3, 0)),
  measuredPanel('p4', recipe([5, 1], 3, 1)),
  measuredPanel('p5', recipe([2, 1], 3, 1)),
  measuredPanel('p6', recipe([3, 1], 2, 2)),
  measuredPanel('p7', recipe([1, 2], 3, 0)),
  measuredPanel('p8', recipe([1, 1], 4, 1)),
  measuredPanel('p9', recipe([0, 1], 3, 0)),
];
