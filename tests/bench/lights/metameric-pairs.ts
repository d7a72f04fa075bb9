/** Panels of different dyes that match under D50, and panels of one paint that nearly do. */
import { type Dye, makeDye, makeGround } from '../../../samples/scene/dyes.ts';
import { apply } from '../../../samples/scene/matrix.ts';
import {
  type CandyRecipe,
  candyReflectance,
  type FilmHabit,
  makeHabit,
  makeSurface,
} from '../../../samples/scene/paint.ts';
import type { ScenePanel } from '../../../samples/scene/panels.ts';
import { adaptation } from '../../../samples/scene/pipeline.ts';
import { randomOf, type SceneRandom } from '../../../samples/scene/random.ts';
import {
  D50_WHITE,
  de00,
  labD50,
  labOf,
  TABLE_LIGHTS,
  type Triple,
  whiteOf,
  xyzUnder,
} from '../../../samples/scene/spectral.ts';

/** Two panels, and whether their difference is built to part. */
export interface BuiltPair {
  readonly panels: readonly [ScenePanel, ScenePanel];
  readonly built: 'metameric' | 'one paint';
}

const SETS: readonly (readonly string[])[] = [
  ['cherry', 'honey', 'cobalt'],
  ['magenta', 'copper', 'teal'],
  ['wine', 'honey', 'bottle'],
  ['magenta', 'honey', 'cobalt'],
  ['cherry', 'copper', 'bottle'],
];

/** One pair by its number: even ones metameric. */
export function builtPair(number: number): BuiltPair {
  const metameric = number % 2 === 0;
  for (let attempt = 0; ; attempt++) {
    const random = randomOf(number * 100 + attempt, 'metameric pair');
    const habit = makeHabit(random);
    const set = random.below(SETS.length);
    const first = recipeOf(dyesOf(SETS[set], random), random, habit);
    const surface = makeSurface(true, random);
    const a = candyReflectance(first, habit, surface);
    const lab = labD50(a);
    if (lab[0] < 12 || Math.hypot(lab[1], lab[2]) > 60) continue;
    const second = metameric
      ? matched(
          lab,
          recipeOf(
            dyesOf(SETS[(set + 1 + random.below(SETS.length - 1)) % SETS.length], random),
            random,
            habit,
          ),
          habit,
          surface,
        )
      : nearby(first, random);
    if (!second) continue;
    const b = candyReflectance(second, habit, surface);
    const apart = de00(lab, labD50(b));
    if (metameric ? apart > 0.15 : apart > 3) continue;
    const change = changeOverLights(a, b);
    if (metameric ? change < 2.5 : change > 0.5) continue;
    const panel = (spectrum: Float64Array, recipe: CandyRecipe): ScenePanel => ({
      id: '',
      kind: 'candy',
      spectrum,
      lab: labD50(spectrum),
      recipe,
      clear: true,
    });
    return { panels: [panel(a, first), panel(b, second)], built: metameric ? 'metameric' : 'one paint' };
  }
}

/** Largest change of the two spectra's difference between the lights of tables: daylight, a tri-phosphor tube, a white LED, a lamp. */
function changeOverLights(a: Float64Array, b: Float64Array): number {
  const seen = (['D55', 'F11', 'LED-B3', 'A'] as const).map((name) => {
    const power = TABLE_LIGHTS[name];
    const m = adaptation(whiteOf(power), D50_WHITE);
    return [a, b].map((r) => labOf(apply(m, xyzUnder(power, r)), D50_WHITE));
  });
  const most = (p: readonly Triple[], q: readonly Triple[]): number => {
    const middle: Triple = [0, 1, 2].map((k) => (p[0][k] + q[1][k]) / 2) as unknown as Triple;
    const moved = middle.map((v, k) => v + p[0][k] - p[1][k] - q[0][k] + q[1][k]) as unknown as Triple;
    return de00(middle, moved);
  };
  // of those that any two of the lights show
  return Math.max(most(seen[0], seen[3]), Math.min(most(seen[0], seen[1]), most(seen[0], seen[2])));
}

function dyesOf(names: readonly string[], random: SceneRandom): Dye[] {
  return names.map((name) => makeDye('judge', random, name));
}

function recipeOf(dyes: readonly Dye[], random: SceneRandom, habit: FilmHabit): CandyRecipe {
  return {
    parts: dyes.map((dye) => [dye, random.between(0.3, 2)] as const),
    ground: makeGround('bright silver', random),
    coats: 2 + random.below(2),
    carrier: habit.usualCarrier,
    reducer_pct: 0,
    clear: true,
    hand: 1,
  };
}

function nearby(recipe: CandyRecipe, random: SceneRandom): CandyRecipe {
  return {
    ...recipe,
    parts: recipe.parts.map(([dye, p]) => [dye, p * Math.exp(random.normal(0, 0.08))] as const),
    hand: Math.exp(random.normal(0, 0.05)),
  };
}

/** Amounts of three other dyes that give the wanted Lab, by Newton steps on their logarithms; none where there are none. */
function matched(
  wanted: Triple,
  start: CandyRecipe,
  habit: FilmHabit,
  surface: ReturnType<typeof makeSurface>,
): CandyRecipe | undefined {
  const x = start.parts.map(([, p]) => Math.log(p));
  const made = (at: readonly number[]): CandyRecipe => {
    const total = at.reduce((s, v) => s + Math.exp(v), 0);
    return {
      ...start,
      parts: start.parts.map(([dye], i) => [dye, Math.exp(at[i])] as const),
      hand: total / 3,
    };
  };
  const labOf = (at: readonly number[]): Triple => labD50(candyReflectance(made(at), habit, surface));
  for (let step = 0; step < 40; step++) {
    const now = labOf(x);
    const off = wanted.map((w, k) => w - now[k]);
    if (Math.hypot(...off) < 0.02) return made(x);
    const columns = x.map((_, i) => {
      const moved = labOf(x.map((v, k) => (k === i ? v + 0.01 : v)));
      return moved.map((v, k) => (v - now[k]) / 0.01);
    });
    const move = solve3(columns, off);
    if (!move) return undefined;
    for (let i = 0; i < 3; i++) x[i] += Math.max(-0.5, Math.min(0.5, move[i]));
    if (x.some((v) => v < -5 || v > 3)) return undefined;
  }
  return undefined;
}

function solve3(columns: readonly (readonly number[])[], b: readonly number[]): number[] | undefined {
  const det = (p: readonly number[], q: readonly number[], r: readonly number[]): number =>
    p[0] * (q[1] * r[2] - q[2] * r[1]) -
    p[1] * (q[0] * r[2] - q[2] * r[0]) +
    p[2] * (q[0] * r[1] - q[1] * r[0]);
  const [p, q, r] = columns;
  const d = det(p, q, r);
  if (Math.abs(d) < 1e-6) return undefined;
  return [det(b, q, r) / d, det(p, b, r) / d, det(p, q, b) / d];
}
