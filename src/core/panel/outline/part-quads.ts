/** Parts a quadrilateral where a line of edge runs across it from side to side: panels laid side by side. */
import { perspectiveOf, quadArea, subQuad } from '../../photo/polygon.ts';
import type { QuadPx } from '../../photo/types.ts';
import { onMaps } from './map-code.ts';
import type { PanelMaps } from './maps.ts';

/** Lines looked at in one direction. */
const ALONG = 64;
/** Share of the quadrilateral left out at its rim, which is edge itself. */
const RIM = 0.14;
/** Mean probability of edge along the line, and in the weakest third of it. */
const LINE = 0.18;
const WEAKEST_THIRD = 0.08;
/** The line must stand out from the mean beside it by this factor. */
const OVER_REST = 3;
/** A part has at least so many map pixels. */
const SMALLEST = 60;

/** The quadrilateral's parts in map pixels; itself alone when no line of edge crosses it. */
export function partQuads(maps: PanelMaps, quad: QuadPx): QuadPx[] {
  const lines = [clearestLine(maps, quad, true), clearestLine(maps, quad, false)];
  const [u, v] = lines;
  const best = !u || (v && v.strength > u.strength) ? v : u;
  if (!best) return [quad];
  const parts =
    best === u
      ? [subQuad(quad, 0, 0, best.at, 1), subQuad(quad, best.at, 0, 1, 1)]
      : [subQuad(quad, 0, 0, 1, best.at), subQuad(quad, 0, best.at, 1, 1)];
  if (parts.some((part) => quadArea(part) < SMALLEST)) return [quad];
  return parts.flatMap((part) => partQuads(maps, part));
}

interface Line {
  /** Where it crosses, 0–1. */
  readonly at: number;
  readonly strength: number;
}

/** The line of edge at a constant u (or v) that is the strongest, when it is one. */
function clearestLine(maps: PanelMaps, quad: QuadPx, alongU: boolean): Line | undefined {
  const [profile, weakest] = onMaps(
    maps,
    () => 64 + 16 * ALONG,
    (code, work) => {
      new Float64Array(code.memory.buffer, work, 8).set(perspectiveOf(quad));
      code.lineProfile(work, alongU ? 1 : 0, work + 64);
      const read = (from: number): Float64Array => new Float64Array(code.memory.buffer, from, ALONG).slice();
      return [read(work + 64), read(work + 64 + 8 * ALONG)];
    },
  );
  const [from, to] = [Math.ceil(RIM * ALONG), Math.floor((1 - RIM) * ALONG)];
  let best = from;
  let rest = 0;
  for (let i = from; i < to; i++) {
    if (profile[i] > profile[best]) best = i;
    rest += profile[i] / (to - from);
  }
  if (profile[best] < LINE || weakest[best] < WEAKEST_THIRD || profile[best] < OVER_REST * rest)
    return undefined;
  return { at: (best + 0.5) / ALONG, strength: profile[best] };
}
