/** The panels of a random scene: candy blends over metallic grounds as a painter would spray them. */
import { type Dye, type Ground, makeDye, makeDyeAnywhere, makeGround } from './dyes.ts';
import type { Family } from './lights.ts';
import {
  type CandyRecipe,
  candyReflectance,
  type FilmHabit,
  makeHabit,
  makeSurface,
  type Surface,
  solidReflectance,
} from './paint.ts';
import type { SceneRandom } from './random.ts';
import { de00, labD50, type Spectrum71, type Triple } from './spectral.ts';

export interface ScenePanel {
  readonly id: string;
  /** A sample is what a customer brings: any paint at all. */
  readonly kind: 'candy' | 'ground' | 'solid' | 'sample';
  readonly spectrum: Spectrum71;
  /** True Lab, D50, 2° observer. */
  readonly lab: Triple;
  /** What was sprayed; absent for solid paint and samples. */
  readonly recipe?: CandyRecipe;
  /** Panels of one family of tint share a number; bare grounds and solids have none. */
  readonly tint?: number;
  readonly clear: boolean;
}

export interface PanelChoice {
  readonly count: number;
  /** Panels close to another one in colour (ΔE2000 under 12). */
  readonly nearPairs: boolean;
  /** Two panels of exactly the same colour. */
  readonly identicalPair: boolean;
  /** Dyes with bands of any place, none narrower than this (standard deviation); the family's own when left out. */
  readonly dyesAnywhere_nm?: number;
}

interface Shop {
  readonly random: SceneRandom;
  readonly dyes: readonly Dye[];
  readonly grounds: readonly Ground[];
  readonly habit: FilmHabit;
  readonly glossy: Surface;
}

/** Makes the panels: ladders of one blend, near pairs, blends over other grounds, bare ground, now and then a solid paint. */
export function makePanels(family: Family, random: SceneRandom, choice: PanelChoice): ScenePanel[] {
  const shop: Shop = {
    random,
    dyes: Array.from({ length: 3 + random.below(2) }, () =>
      choice.dyesAnywhere_nm === undefined
        ? makeDye(family, random)
        : makeDyeAnywhere(random, choice.dyesAnywhere_nm),
    ),
    grounds: [
      makeGround('bright silver', random),
      makeGround(random.pick(['pale gold', 'graphite', 'random'] as const), random),
    ],
    habit: makeHabit(random),
    glossy: makeSurface(true, random),
  };
  const makers = recipes(shop, choice);
  return makers.slice(0, choice.count).map((panel, i) => ({ ...panel, id: `p${i + 1}` }));
}

type Unnamed = Omit<ScenePanel, 'id'>;

function recipes(shop: Shop, choice: PanelChoice): Unnamed[] {
  const { random } = shop;
  const list: Unnamed[] = [];
  let tint = 0;
  const first = sprayed(shop, randomRecipe(shop), tint);
  list.push(first);
  if (choice.identicalPair) list.push(first);
  if (choice.nearPairs) list.push(nearTo(shop, first), nearTo(shop, first));
  // a ladder of coats of the same blend
  const base = first.recipe!;
  for (const step of [1, 2]) {
    const coats = base.coats + step <= 6 ? base.coats + step : Math.max(1, base.coats - step);
    list.push(sprayed(shop, { ...base, coats, hand: hand(shop) }, tint));
  }
  list.push(bare(shop));
  while (list.length < choice.count) {
    if (random.chance(0.12)) list.push(solid(shop));
    else if (random.chance(0.08)) list.push(bare(shop));
    else {
      tint++;
      const next = sprayed(shop, randomRecipe(shop), tint);
      list.push(next);
      if (choice.nearPairs && random.chance(0.5)) list.push(nearTo(shop, next));
    }
  }
  return list;
}

function hand(shop: Shop): number {
  return Math.exp(shop.random.normal(0, 0.06));
}

function randomRecipe(shop: Shop): CandyRecipe {
  const { random, dyes, grounds } = shop;
  const count = 1 + random.below(3);
  const start = random.below(dyes.length);
  const parts = Array.from({ length: Math.min(count, dyes.length) }, (_, i): readonly [Dye, number] => [
    dyes[(start + i) % dyes.length],
    i === 0 ? random.between(2, 6) : random.between(0.5, 2.5),
  ]);
  return {
    parts,
    ground: random.pick(grounds),
    coats: 1 + random.below(random.chance(0.25) ? 5 : 4),
    carrier: shop.habit.usualCarrier * Math.exp(random.normal(0, 0.12)),
    reducer_pct: random.between(0, 12),
    clear: random.chance(0.85),
    hand: hand(shop),
  };
}

function sprayed(shop: Shop, recipe: CandyRecipe, tint: number): Unnamed {
  const surface = recipe.clear ? shop.glossy : makeSurface(false, shop.random);
  return {
    kind: 'candy',
    recipe,
    tint,
    clear: recipe.clear,
    ...coloured(candyReflectance(recipe, shop.habit, surface)),
  };
}

/** The same blend sprayed again with a little more or less of something, at most 12 ΔE2000 away and not the same. */
function nearTo(shop: Shop, panel: Unnamed): Unnamed {
  const { random } = shop;
  let reach = 1;
  for (;;) {
    const recipe = panel.recipe!;
    const parts = recipe.parts.map(
      ([dye, p]) => [dye, p * Math.exp(random.normal(0, 0.25 * reach))] as const,
    );
    const made = sprayed(
      shop,
      { ...recipe, parts, hand: recipe.hand * Math.exp(random.normal(0, 0.15 * reach)) },
      panel.tint!,
    );
    const apart = de00(made.lab, panel.lab);
    if (apart < 12 && (apart > 0.2 || reach < 0.05)) return made;
    reach *= 0.8;
  }
}

function bare(shop: Shop): Unnamed {
  const recipe: CandyRecipe = {
    parts: [],
    ground: shop.random.pick(shop.grounds),
    coats: 0,
    carrier: shop.habit.usualCarrier,
    reducer_pct: 0,
    clear: true,
    hand: 1,
  };
  return {
    kind: 'ground',
    recipe,
    clear: true,
    ...coloured(candyReflectance(recipe, shop.habit, shop.glossy)),
  };
}

function solid(shop: Shop): Unnamed {
  const surface = makeSurface(true, shop.random);
  return { kind: 'solid', clear: true, ...coloured(solidReflectance(shop.random, surface)) };
}

function coloured(spectrum: Spectrum71): { spectrum: Spectrum71; lab: Triple } {
  return { spectrum, lab: labD50(spectrum) };
}
