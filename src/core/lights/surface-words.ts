/** Texture and evenness in painter's words, and panels of one photo compared by their texture. */
import { TARGET_ID } from '../job/index.ts';
import { compareTexture, type EvennessMap, type Texture } from '../panel/texture/index.ts';
import type { PanelSurface } from './surface.ts';

/** Grain that is told as finest: flakes below it all look the same at this scale. */
const FINEST_MM = 0.45;

const figure = (v: number): string => v.toFixed(v < 10 ? 1 : 0);

/** "sparkle 4.2 (3.9 to 4.5), grain about 0.6 mm". */
export function textureWords({ kind, figure: told, interval95: [low, high], grain_mm }: Texture): string {
  const grain =
    grain_mm <= FINEST_MM ? 'grain finer than half a millimetre' : `grain about ${grain_mm.toFixed(1)} mm`;
  return `${kind} ${figure(told)} (${figure(low)} to ${figure(high)}), ${grain}`;
}

/** What a painter would say of the map: "stripes every 9 mm along its length, 0.8 ΔE from crest to trough". */
export function evennessWords({
  kind,
  stripes,
  mottling_de00,
  edges_de00,
  p95_de00,
  size_mm,
}: EvennessMap): string {
  if (kind === 'stripes' && stripes) {
    const down = stripes.across === 'rows';
    const isLength = down === size_mm[1] >= size_mm[0];
    return `stripes every ${Math.round(stripes.every_mm)} mm along its ${isLength ? 'length' : 'width'}, ${stripes.de00.toFixed(1)} ΔE from crest to trough`;
  }
  if (kind === 'mottled') return `mottled: clouds of about ${mottling_de00.toFixed(1)} ΔE`;
  if (kind === 'edges')
    return `${edges_de00 < 0 ? 'darker' : 'lighter'} towards the edge, by ${Math.abs(edges_de00).toFixed(1)} ΔE`;
  return `even: 95 of 100 places within ${Math.max(0.1, p95_de00).toFixed(1)} ΔE`;
}

/** One panel's texture against another's in one photo. */
export interface TexturePair {
  readonly photo: string;
  readonly a: string;
  readonly b: string;
  /** Figure of `a` over that of `b`. */
  readonly ratio: number;
  readonly interval95: readonly [number, number];
  /** How `a` is against `b`: "sparkles more, coarser". */
  readonly words: string;
}

/** Every two panels of one photo whose texture is told in it. */
export function texturePairs(surfaces: readonly PanelSurface[]): TexturePair[] {
  return surfaces.flatMap((first, i) =>
    surfaces.slice(i + 1).flatMap((second): TexturePair[] => {
      if (first.photo !== second.photo || !first.texture || !second.texture) return [];
      const compared = compareTexture(first.texture, second.texture, true);
      return compared ? [{ photo: first.photo, a: first.panel, b: second.panel, ...compared }] : [];
    }),
  );
}

/** What the textures of one photo's panels are held against: the target's, or the strongest where that shows none. */
export function heldAgainst(surfaces: readonly PanelSurface[]): PanelSurface | undefined {
  const figureOf = (s: PanelSurface): number => s.texture?.figure ?? 0;
  const told = surfaces.filter((s) => s.texture).sort((a, b) => figureOf(b) - figureOf(a));
  return told.find((s) => s.panel === TARGET_ID) ?? told[0];
}

/** How a panel's texture is against that of another in the same photo; undefined when it isn't told, and for itself. */
export function againstWords(surface: PanelSurface, held: PanelSurface | undefined): string | undefined {
  if (!held?.texture || !surface.texture || held === surface) return undefined;
  return compareTexture(surface.texture, held.texture, true)?.words;
}
