/** Lays a quadrilateral's sides on the edges of the full-size photo, to a fraction of a pixel. */
import { WASM } from '../../../../compiled/panel-edges/wasm.ts';
import { memoryFrom, startCompiled } from '../../compiled.ts';
import { type PhotoHolder, photoHolder, type ReadsPhoto } from '../../photo/held-part.ts';
import { isConvexQuad } from '../../photo/polygon.ts';
import type { PointPx, QuadPx, Raster } from '../../photo/types.ts';
import { crossing } from '../find/outline.ts';
import { ROOT_TABLE } from '../find/root-light.ts';

/** Rounds: reach and spacing of the profiles, relative to the first reach; later rounds look nearer and finer. */
const ROUNDS = [
  { reach: 1, spacing: 0.1, tilt: 0.5 },
  { reach: 0.3, spacing: 0.04, tilt: 0.15 },
  { reach: 0.12, spacing: 0.02, tilt: 0.05 },
] as const;
const FINEST_PX = 0.5;
const LEAST_REACH_PX = 2.5;

export interface LaidQuad {
  readonly quad: QuadPx;
  /** Per side, the step of colour across it, root steps (about L* units); 0 where no edge was found. */
  readonly steps: readonly number[];
}

/** A line against a side: offset outward (px) at its middle, and how much farther out it lies at its end than its start. */
interface SideLine {
  readonly offset: number;
  readonly tilt: number;
  readonly step: number;
}

/**
 * Moves each side to the straight edge near it that the most colour changes across, from rough to fine.
 *
 * @param reach_px how far from the sides their edges may lie
 * @returns the quadrilateral, or undefined when the sides meet in none
 */
export function layOnEdges(raster: Raster, quad: QuadPx, reach_px: number): LaidQuad | undefined {
  let now = quad;
  let steps: number[] = [0, 0, 0, 0];
  for (const round of ROUNDS) {
    const reach = Math.max(LEAST_REACH_PX, round.reach * reach_px);
    const spacing = Math.max(FINEST_PX, round.spacing * reach_px);
    const lines = now.map((_, i) => bestLine(raster, now, i, reach, spacing, round.tilt));
    const sides = lines.map((line, i) => moved(now[i], now[(i + 1) % 4], line));
    const corners = sides.map((side, i) => crossing(...sides[(i + 3) % 4], ...side));
    if (!corners.every((c) => c !== undefined)) return undefined;
    const next = corners as unknown as QuadPx;
    if (!isConvexQuad(next)) return undefined;
    now = next;
    steps = lines.map((line) => line?.step ?? 0);
    if (spacing === FINEST_PX && reach === LEAST_REACH_PX) break;
  }
  return { quad: now, steps };
}

function moved(a: PointPx, b: PointPx, line: SideLine | undefined): [PointPx, PointPx] {
  if (!line) return [a, b];
  const length = Math.hypot(b[0] - a[0], b[1] - a[1]);
  const [nx, ny] = [(b[1] - a[1]) / length, -(b[0] - a[0]) / length];
  const [start, end] = [line.offset - line.tilt / 2, line.offset + line.tilt / 2];
  return [
    [a[0] + nx * start, a[1] + ny * start],
    [b[0] + nx * end, b[1] + ny * end],
  ];
}

/** The line near a side across which colour changes most. */
function bestLine(
  raster: Raster,
  quad: QuadPx,
  side: number,
  reach: number,
  spacing: number,
  tiltShare: number,
): SideLine | undefined {
  const { code, about } = edgeHolder();
  const [[ax, ay], [bx, by]] = [quad[side], quad[(side + 1) % 4]];
  const half = Math.ceil(reach / spacing);
  const most = Math.max(1, Math.round(tiltShare * half));
  return about(raster, quad.flat(), reach + 4 * spacing, LINE_BYTES + code.lineBytes(half), (out) => {
    if (code.findLine(ax, ay, bx, by, half, spacing, most, out, out + LINE_BYTES) !== 1) return undefined;
    const [offset, tilt, step] = new Float64Array(code.memory.buffer, out, 3);
    return { offset, tilt, step };
  });
}

/** Three numbers. */
const LINE_BYTES = 24;
/** A photo is held in parts about each panel. */
const HELD_WHOLE_BYTES = 4e6;

/** What `compiled/panel-edges/index.ts` exports; the same names tell more there. 1 stands for true. */
interface EdgeCode extends ReadsPhoto {
  useRoots(table: number, steps: number): void;
  lineBytes(half: number): number;
  findLine(
    ax: number,
    ay: number,
    bx: number,
    by: number,
    half: number,
    spacing: number,
    most: number,
    out: number,
    work: number,
  ): number;
}

let holder: PhotoHolder<EdgeCode> | undefined;

function edgeHolder(): PhotoHolder<EdgeCode> {
  if (holder) return holder;
  const code = startCompiled<EdgeCode>(WASM);
  const { place, grow } = memoryFrom(code.firstFree());
  const roots = place(ROOT_TABLE.byteLength);
  const behind = place(0);
  new Float32Array(grow(code.memory), roots, ROOT_TABLE.length).set(ROOT_TABLE);
  code.useRoots(roots, ROOT_TABLE.length - 2);
  holder = photoHolder(code, behind, HELD_WHOLE_BYTES);
  return holder;
}
