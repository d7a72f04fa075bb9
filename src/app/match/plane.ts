/** Geometry of a plot of colours. */
import type { Lab } from '../../core/color/index.ts';

export interface PlanePoint {
  readonly id: string;
  readonly name: string;
  readonly lab: Lab;
  readonly x: number;
  readonly y: number;
  readonly ellipse: Ellipse;
  /** The panel's own mark; the target has none. */
  readonly mark?: string | undefined;
}

/** Half axes in the plot's units; `turn_deg` of the long one from x towards y. */
export interface Ellipse {
  readonly major: number;
  readonly minor: number;
  readonly turn_deg: number;
}

/** The 95 % point of χ² with 2 degrees of freedom. */
const CHI2_95_2 = 5.991;

export function ellipseOf({ xx, xy, yy }: { xx: number; xy: number; yy: number }): Ellipse {
  const middle = (xx + yy) / 2;
  const reach = Math.hypot((xx - yy) / 2, xy);
  return {
    major: Math.sqrt(CHI2_95_2 * Math.max(0, middle + reach)),
    minor: Math.sqrt(CHI2_95_2 * Math.max(0, middle - reach)),
    turn_deg: (0.5 * Math.atan2(2 * xy, xx - yy) * 180) / Math.PI,
  };
}

export interface Extent {
  readonly left: number;
  readonly bottom: number;
  readonly width: number;
}

/** The smallest square that holds every point, with room around, and never under 8 units. */
export function extentOf(points: readonly PlanePoint[]): Extent {
  const reach = (p: PlanePoint): number => Math.min(p.ellipse.major, 12);
  const low = (of: (p: PlanePoint) => number): number => Math.min(...points.map((p) => of(p) - reach(p)));
  const high = (of: (p: PlanePoint) => number): number => Math.max(...points.map((p) => of(p) + reach(p)));
  if (points.length === 0) return { left: -50, bottom: -50, width: 100 };
  const [x0, x1, y0, y1] = [low((p) => p.x), high((p) => p.x), low((p) => p.y), high((p) => p.y)];
  const width = 1.12 * Math.max(8, x1 - x0, y1 - y0);
  return { left: (x0 + x1 - width) / 2, bottom: (y0 + y1 - width) / 2, width };
}

/** Round values between two bounds, four to eight of them. */
export function ticksOf(low: number, high: number): readonly number[] {
  const rough = (high - low) / 5;
  const power = 10 ** Math.floor(Math.log10(rough));
  const step = power * ([1, 2, 5, 10].find((m) => m * power >= rough) ?? 10);
  const ticks: number[] = [];
  for (let i = Math.ceil(low / step); i * step <= high; i++) ticks.push(i === 0 ? 0 : i * step);
  return ticks;
}
