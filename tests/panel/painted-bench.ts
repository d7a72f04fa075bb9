import type { Vec3 } from '../../src/core/math/linear.ts';
import { type Random, seededRandom } from '../../src/core/math/random.ts';
import { eachPixelRow } from '../../src/core/photo/polygon.ts';
import type { PointPx, QuadPx, Raster } from '../../src/core/photo/types.ts';
import { testProfile, toEncoded } from '../photo/painted-area.ts';

/** Benches with panels on them, painted for tests of finding. */

export type Ground = 'plain' | 'wood' | 'cloth' | 'speckled';

export interface Bench {
  readonly raster: Raster;
  readonly panels: readonly QuadPx[];
}

export interface BenchOptions {
  readonly width_px?: number;
  readonly height_px?: number;
  readonly rows?: number;
  readonly columns?: number;
  readonly ground?: Ground;
  readonly hangHoles?: boolean;
  readonly glare?: boolean;
  readonly sparkle?: boolean;
}

const COLOURS: readonly Vec3[] = [
  [0.21, 0.018, 0.022],
  [0.33, 0.06, 0.015],
  [0.06, 0.01, 0.03],
  [0.42, 0.43, 0.44],
  [0.1, 0.1, 0.11],
  [0.02, 0.12, 0.2],
  [0.5, 0.4, 0.2],
  [0.35, 0.12, 0.03],
];
const GROUND_COLOURS: readonly Vec3[] = [
  [0.55, 0.55, 0.54],
  [0.2, 0.21, 0.2],
  [0.75, 0.73, 0.7],
  [0.03, 0.03, 0.032],
  [0.15, 0.3, 0.2],
];

/** A bench of rows × columns panels, each a little turned, seen at a slant, with light falling off. */
export function paintBench(seed: number, options: BenchOptions = {}): Bench {
  const { width_px = 900, height_px = 675, rows = 2, columns = 3, ground = 'plain' } = options;
  const random = seededRandom(seed);
  const uniform = (lo: number, hi: number): number => lo + (hi - lo) * random.uniform();
  const slant = uniform(-0.12, 0.12);
  const project = (x: number, y: number): PointPx => {
    const w = 1 + slant * (y / height_px - 0.5) + 0.5 * slant * (x / width_px - 0.5);
    return [width_px / 2 + (x - width_px / 2) / w, height_px / 2 + (y - height_px / 2) / w];
  };
  const cellW = (0.92 * width_px) / columns;
  const cellH = (0.92 * height_px) / rows;
  const panels: QuadPx[] = [];
  const colours: Vec3[] = [];
  const groundColour = ground === 'wood' ? ([0.38, 0.22, 0.11] as Vec3) : pick(GROUND_COLOURS, random);
  for (let r = 0; r < rows; r++)
    for (let c = 0; c < columns; c++) {
      const cx = 0.04 * width_px + (c + 0.5) * cellW + uniform(-0.02, 0.02) * cellW;
      const cy = 0.04 * height_px + (r + 0.5) * cellH + uniform(-0.02, 0.02) * cellH;
      const w = cellW * uniform(0.5, 0.75);
      const h = cellH * uniform(0.5, 0.75);
      const turn = uniform(-0.12, 0.12);
      const corner = (x: number, y: number): PointPx =>
        project(cx + Math.cos(turn) * x - Math.sin(turn) * y, cy + Math.sin(turn) * x + Math.cos(turn) * y);
      panels.push([
        corner(-w / 2, -h / 2),
        corner(w / 2, -h / 2),
        corner(w / 2, h / 2),
        corner(-w / 2, h / 2),
      ]);
      let colour = pick(COLOURS, random);
      while (rootDistance(colour, groundColour) < 12) colour = pick(COLOURS, random);
      colours.push(colour);
    }
  const fallX = uniform(-0.35, 0.35);
  const fallY = uniform(-0.35, 0.35);
  const texture = groundTexture(ground, seed, width_px);
  // which panel lies at each quarter of a pixel, 0 for none
  const fine = { width_px: 2 * width_px, height_px: 2 * height_px };
  const at = new Uint8Array(fine.width_px * fine.height_px);
  panels.forEach((quad, k) => {
    const doubled = quad.map(([x, y]): PointPx => [2 * x, 2 * y]) as unknown as QuadPx;
    eachPixelRow(fine, doubled, 1, (y, from, to) => {
      at.fill(k + 1, y * fine.width_px + from, y * fine.width_px + to);
    });
  });
  const deviates = Float64Array.from({ length: 65_521 }, () => random.normal());
  let drawn = 0;
  const normal = (): number => deviates[drawn++ % deviates.length];
  const encoded = Uint8Array.from({ length: 4097 }, (_, i) => Math.round(255 * toEncoded(i / 4096)));
  const data = new Uint8Array(3 * width_px * height_px);
  for (let y = 0; y < height_px; y++)
    for (let x = 0; x < width_px; x++) {
      const sum = [0, 0, 0];
      const level = texture(x + 0.5, y + 0.5);
      for (let quarter = 0; quarter < 4; quarter++) {
        const k = at[(2 * y + (quarter >> 1)) * fine.width_px + 2 * x + (quarter & 1)] - 1;
        const colour = k < 0 ? groundColour : panelColour(options, panels[k], colours[k], groundColour, x, y);
        const scale = k < 0 ? level : 1;
        for (let c = 0; c < 3; c++) sum[c] += 0.25 * colour[c] * scale;
      }
      const fall = 1 + fallX * (x / width_px - 0.5) + fallY * (y / height_px - 0.5);
      const flake = options.sparkle ? Math.exp(0.12 * normal()) : 1;
      for (let c = 0; c < 3; c++) {
        const light = sum[c] * fall * flake;
        const noisy = light + Math.hypot(0.02 * light, 0.0006) * normal();
        data[3 * (y * width_px + x) + c] = encoded[Math.round(4096 * Math.max(0, Math.min(1, noisy)))];
      }
    }
  return { raster: { width_px, height_px, bits: 8, data, profile: testProfile(8) }, panels };
}

/** A panel's colour at a place, with its hang hole and the lamp mirrored in it. */
function panelColour(
  { hangHoles, glare }: BenchOptions,
  [a, b, , d]: QuadPx,
  colour: Vec3,
  groundColour: Vec3,
  x: number,
  y: number,
): Vec3 {
  const along = (u: number, v: number): PointPx => [
    a[0] + u * (b[0] - a[0]) + v * (d[0] - a[0]),
    a[1] + u * (b[1] - a[1]) + v * (d[1] - a[1]),
  ];
  if (hangHoles) {
    const [hx, hy] = along(0.5, 0.08);
    if ((x - hx) ** 2 + (y - hy) ** 2 < 49) return groundColour;
  }
  if (!glare) return colour;
  const [gx, gy] = along(0.7, 0.3);
  const lamp = 0.5 * Math.exp(-((x - gx) ** 2 + (y - gy) ** 2) / 300);
  return [colour[0] + lamp, colour[1] + lamp, colour[2] + lamp];
}

function pick<T>(from: readonly T[], random: Random): T {
  return from[Math.floor(random.uniform() * from.length)];
}

function rootDistance(a: Vec3, b: Vec3): number {
  return 100 * Math.hypot(...a.map((v, c) => Math.cbrt(v) - Math.cbrt(b[c])));
}

function groundTexture(ground: Ground, seed: number, width_px: number): (x: number, y: number) => number {
  const random = seededRandom(seed + 77);
  const unit = width_px / 900;
  if (ground === 'wood') {
    const phases = Array.from({ length: 6 }, () => 6.28 * random.uniform());
    return (x, y) => {
      let sum = 0;
      for (let k = 0; k < 6; k++) {
        const wave = (y + 12 * unit * Math.sin(x / (180 * unit) + phases[k])) / ((3 + 4 * k) * unit);
        sum += Math.sin(wave + phases[k]) / (1 + 0.4 * k);
      }
      return Math.exp(0.09 * sum);
    };
  }
  if (ground === 'cloth')
    return (x, y) =>
      1 +
      0.1 * Math.sin(x / (2.2 * unit)) * Math.sin(y / (2.2 * unit)) +
      0.05 * Math.sin((x + y) / (60 * unit));
  if (ground === 'speckled') {
    const side = 64;
    const grid = Float64Array.from({ length: side * side }, () => random.normal());
    return (x, y) => {
      const gx = Math.floor(x / (5 * unit)) % side;
      const gy = Math.floor(y / (5 * unit)) % side;
      return Math.exp(0.1 * grid[gy * side + gx]);
    };
  }
  return () => 1;
}
