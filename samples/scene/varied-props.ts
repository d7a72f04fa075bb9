/** What lies under, beside and on the panels of a varied scene. */
import type { Layer } from './geometry.ts';
import { onPlane, type Placed, type PlaceMm } from './layout.ts';
import { type Pipeline, rawOf } from './pipeline.ts';
import type { SceneRandom } from './random.ts';
import { type Spectrum71, spectrumOf } from './spectral.ts';

export const LAID_BENCHES = ['tiles', 'checks', 'print', 'ribs', 'boards'] as const;
export type LaidBench = (typeof LAID_BENCHES)[number];

/** Reach of a laid bench about the card, mm. */
const REACH = 900;

const grey = (level: number): Spectrum71 => spectrumOf(() => level);
/** A reflectance that rises from blue to red. */
const warm = (level: number, slope: number): Spectrum71 =>
  spectrumOf((nm) => level * ((nm - 300) / 300) ** slope);

function box(
  x: number,
  y: number,
  w: number,
  h: number,
  raw: Layer['raw'],
  more: Partial<Layer> = {},
): Layer {
  return {
    place: { centre_mm: [x + w / 2, y + h / 2], size_mm: [w, h], turn_deg: 0 },
    shape: 'rectangle',
    raw,
    ...more,
  };
}

/** The bench as things laid over the painter's own; nothing for a bench that is painted itself. */
export function benchProps(bench: string, pipeline: Pipeline, random: SceneRandom): Layer[] {
  const make = BENCHES[bench as LaidBench];
  return make ? make((spectrum) => rawOf(pipeline, spectrum), random) : [];
}

type Raw = (spectrum: Spectrum71) => Layer['raw'];

const BENCHES: Readonly<Record<LaidBench, (raw: Raw, random: SceneRandom) => Layer[]>> = {
  tiles: (raw, random) => grid(raw, random, random.between(60, 200), random.between(1, 4), 0.06),
  checks: (raw, random) => grid(raw, random, random.between(40, 120), 0, random.between(0.25, 0.8)),
  print: (raw, random) => {
    const paper = raw(warm(random.between(0.5, 0.75), 0.35));
    const ink = raw(grey(0.12));
    const line = random.between(3.5, 6);
    const layers = [box(-REACH, -REACH, 2 * REACH, 2 * REACH, paper)];
    const column = random.between(55, 90);
    for (let x = -REACH / 2; x < REACH / 2; x += column)
      for (let y = -REACH / 2; y < REACH / 2; y += line) {
        if (random.chance(0.06)) continue;
        const end = x + column - 7;
        for (let at = x; at < end; ) {
          const word = random.between(8, 30);
          layers.push(box(at, y, Math.min(word, end - at), line * 0.42, ink));
          at += word + 2.5;
        }
      }
    return layers;
  },
  ribs: (raw, random) => {
    const level = random.between(0.3, 0.75);
    const pitch = random.between(12, 50);
    const layers = [box(-REACH, -REACH, 2 * REACH, 2 * REACH, raw(grey(level)), { grain: 0.01 })];
    for (let x = -REACH; x < REACH; x += pitch)
      layers.push(
        box(x, -REACH, pitch * 0.12, 2 * REACH, raw(grey(level * 0.7))),
        box(x + pitch * 0.12, -REACH, pitch * 0.1, 2 * REACH, raw(grey(Math.min(0.9, level * 1.15)))),
      );
    return layers;
  },
  boards: (raw, random) => {
    const layers: Layer[] = [];
    const width = random.between(70, 150);
    for (let y = -REACH; y < REACH; y += width) {
      const level = random.between(0.3, 0.5);
      layers.push(
        box(-REACH, y, 2 * REACH, width, raw(warm(level * 0.2, 2.2))),
        box(-REACH, y + 1.5, 2 * REACH, width - 1.5, raw(warm(level, 1.4)), { grain: 0.02 }),
      );
      for (let k = 0; k < 14; k++)
        layers.push(
          box(
            -REACH + random.between(0, REACH),
            y + random.between(3, width - 4),
            random.between(100, 900),
            random.between(0.3, 1.2),
            raw(warm(level * 0.75, 1.6)),
          ),
        );
    }
    return layers;
  },
};

function grid(raw: Raw, random: SceneRandom, size: number, joint: number, contrast: number): Layer[] {
  const level = random.between(0.25, 0.6);
  const layers = [box(-REACH, -REACH, 2 * REACH, 2 * REACH, raw(grey(0.08)))];
  for (let i = 0, x = -REACH; x < REACH; x += size, i++)
    for (let j = 0, y = -REACH; y < REACH; y += size, j++) {
      const dark = (i + j) % 2 === 1 ? 1 - contrast : 1;
      const own = level * dark * (1 + random.normal(0, 0.03));
      layers.push(
        box(x + joint / 2, y + joint / 2, size - joint, size - joint, raw(grey(own)), { grain: 0.01 }),
      );
    }
  return layers;
}

/** A page with lines of print, its top left at a place. */
export function page(pipeline: Pipeline, at: PlaceMm, random: SceneRandom): Layer[] {
  const [w, h] = [random.between(70, 150), random.between(90, 200)];
  const sheet: Placed = {
    centre_mm: [at[0] + w / 2, at[1] + h / 2],
    size_mm: [w, h],
    turn_deg: random.normal(0, 12),
  };
  const layers: Layer[] = [
    { place: sheet, shape: 'rectangle', raw: rawOf(pipeline, grey(0.82)), height_mm: 0.2 },
  ];
  const ink = rawOf(pipeline, grey(0.08));
  for (let y = 10; y < h - 10; y += 6) {
    const length = random.between(0.5, 1) * (w - 20);
    layers.push({
      place: {
        centre_mm: onPlane(sheet, [10 + length / 2, y]),
        size_mm: [length, 2],
        turn_deg: sheet.turn_deg,
      },
      shape: 'rectangle',
      raw: ink,
    });
  }
  return layers;
}

/** Fingers that hold a panel by one side, coming from beyond it. */
export function fingers(pipeline: Pipeline, panel: Placed, random: SceneRandom): Layer[] {
  const skin = rawOf(pipeline, warm(random.between(0.08, 0.45), 1.5));
  const [w, h] = panel.size_mm;
  const fromRight = random.chance(0.5);
  const count = 1 + random.below(3);
  return Array.from({ length: count }, (_, i): Layer => {
    const length = random.between(70, 90);
    const into = random.between(0.08, 0.3) * w;
    const x = fromRight ? w - into + length / 2 : into - length / 2;
    return {
      place: {
        centre_mm: onPlane(panel, [x, h * 0.5 + (i - (count - 1) / 2) * 17]),
        size_mm: [length, 15],
        turn_deg: panel.turn_deg + random.normal(0, 5),
      },
      shape: 'rectangle',
      raw: skin,
      rounded_mm: 7.4,
      height_mm: 4,
      grain: 0.02,
    };
  });
}

/** A strip of tape over one side of a panel. */
export function tapeStrip(pipeline: Pipeline, panel: Placed, random: SceneRandom): Layer {
  const [w, h] = panel.size_mm;
  const at: PlaceMm = random.chance(0.5)
    ? [w * random.between(0.2, 0.8), random.chance(0.5) ? 0 : h]
    : [random.chance(0.5) ? 0 : w, h * random.between(0.2, 0.8)];
  return {
    place: {
      centre_mm: onPlane(panel, at),
      size_mm: [random.between(20, 34), random.between(8, 19)],
      turn_deg: panel.turn_deg + 90 * random.below(2) + random.normal(0, 8),
    },
    shape: 'rectangle',
    raw: rawOf(pipeline, random.chance(0.6) ? warm(0.5, 0.9) : grey(random.between(0.05, 0.8))),
    height_mm: 0.15,
    grain: 0.02,
  };
}
