/** Straight bands that repeat over a panel, as overlapping passes of the fan leave them. */

export interface Stripes {
  /** From crest to crest. */
  readonly every_mm: number;
  /** From crest to trough, ΔE2000. */
  readonly de00: number;
  /** `rows`: each stripe runs along a row of the map and they follow each other down it; `columns`: the other way. */
  readonly across: 'rows' | 'columns';
}

/** The panel is cut into so many strips across the stripes: real stripes have the same crests in all of them. */
const STRIPS = 6;
/** Waves over the panel's length that are looked for, in steps. Longer ones are fall-off, shorter ones the cells can't hold. */
const FEWEST_WAVES = 2;
const STEP = 0.5;
/** Cells a wave needs. */
const CELLS_A_WAVE = 2.4;
/** How much of the waves in single strips must be common to all, and how far it must stand out of its neighbours. */
const COMMON = 0.45;
const STANDS_OUT = 4;
/** Crest to trough, ΔE, under which nobody would call it stripes. */
const LEAST_DE00 = 0.25;

interface Wave {
  readonly waves: number;
  /** Power common to the strips, and mean power of single strips. */
  readonly common: number;
  readonly single: number;
}

/**
 * The strongest stripes along either side, or undefined. `axes` are the map's cells on each axis in ΔE, with the mean and
 * the light's fall-off taken off.
 */
export function stripesIn(
  axes: readonly (readonly number[])[],
  columns: number,
  rows: number,
  [width_mm, height_mm]: readonly [number, number],
): Stripes | undefined {
  const found = (['rows', 'columns'] as const).flatMap((across): Stripes[] => {
    const [length, breadth] = across === 'rows' ? [rows, columns] : [columns, rows];
    const cell = (along: number, over: number): number =>
      across === 'rows' ? along * columns + over : over * columns + along;
    const best = strongest(wavesAlong(axes, length, breadth, cell));
    if (!best) return [];
    // a wave of amplitude A has the power A² / 4 in the transform's scale used here
    const de00 = 4 * Math.sqrt(Math.max(0, best.common));
    const size = across === 'rows' ? height_mm : width_mm;
    return de00 < LEAST_DE00 ? [] : [{ every_mm: size / best.waves, de00, across }];
  });
  return found.sort((a, b) => b.de00 - a.de00)[0];
}

/** Hann-windowed transforms of each strip's profile, and what of them the strips have in common. */
function wavesAlong(
  axes: readonly (readonly number[])[],
  length: number,
  breadth: number,
  cell: (along: number, over: number) => number,
): Wave[] {
  const window = Array.from({ length }, (_, i) => 1 - Math.cos((2 * Math.PI * (i + 0.5)) / length));
  const profiles = axes.map((axis) =>
    Array.from({ length: STRIPS }, (_, s) => {
      const [from, to] = [s, s + 1].map((k) => Math.round((k * breadth) / STRIPS));
      return Array.from({ length }, (_, i) => {
        let sum = 0;
        for (let over = from; over < to; over++) sum += axis[cell(i, over)];
        return (window[i] * sum) / (to - from);
      });
    }),
  );
  const found: Wave[] = [];
  for (let waves = FEWEST_WAVES; waves <= length / CELLS_A_WAVE; waves += STEP) {
    let [common, single] = [0, 0];
    for (const strips of profiles) {
      const parts = strips.map((p) => transform(p, waves));
      const re = parts.reduce((s, [r]) => s + r, 0);
      const im = parts.reduce((s, [, i]) => s + i, 0);
      const own = parts.reduce((s, [r, i]) => s + r * r + i * i, 0);
      // over pairs of different strips, so that noise adds nothing on average
      common += (re * re + im * im - own) / (STRIPS * (STRIPS - 1));
      single += own / STRIPS;
    }
    found.push({ waves, common, single });
  }
  return found;
}

/** Scaled so that a wave of amplitude A gives A / 2. */
function transform(profile: readonly number[], waves: number): readonly [number, number] {
  let [re, im] = [0, 0];
  profile.forEach((v, i) => {
    const angle = (2 * Math.PI * waves * (i + 0.5)) / profile.length;
    re += v * Math.cos(angle);
    im -= v * Math.sin(angle);
  });
  return [re / profile.length, im / profile.length];
}

function strongest(all: readonly Wave[]): Wave | undefined {
  const best = all.reduce((a, b) => (b.common > a.common ? b : a));
  // what lies further off than the window's own width
  const others = all.filter((w) => Math.abs(w.waves - best.waves) > 2).map((w) => Math.abs(w.common));
  const floor = others.sort((a, b) => a - b)[Math.floor(0.75 * (others.length - 1))] ?? 0;
  const isCommon = best.common > COMMON * best.single;
  return isCommon && best.common > STANDS_OUT * floor ? best : undefined;
}
