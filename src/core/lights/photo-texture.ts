/** What a photo's own blur, noise and tone curve do to texture, told by the card that lies in it. */
import { patchQuads } from '../card/place.ts';
import type { PlacedCard } from '../card/types.ts';
import { plainLab } from '../correction/index.ts';
import type { ReadPhoto } from '../measure/index.ts';
import { type BandPower, bandPowers } from '../panel/texture/bands.ts';
import {
  BANDS,
  blurOfEdges,
  FEWEST_PX_PER_MM,
  gridOfLight,
  type PhotoTexture,
  pxPerMm,
  type SharpEdge,
} from '../panel/texture/index.ts';
import { quadSides } from '../photo/polygon.ts';
import { sampleQuad } from '../photo/sample.ts';
import type { PointMm, Raster, Reading } from '../photo/types.ts';

/** Steps of the curve, each a factor √2: from a 64th of the surface's light to eight times it. */
const STEPS_DOWN = 12;
const STEPS_UP = 6;

/** True light of a surface by what the file's linear values say of it: its colour made lighter and darker, corrected. */
export function lightCurve(
  { card }: ReadPhoto,
  reading: Reading,
  at_mm: readonly [number, number],
): (v: number) => number {
  const level = luminance(reading.linear);
  const points = Array.from({ length: STEPS_DOWN + STEPS_UP + 1 }, (_, k) => {
    const factor = 2 ** ((k - STEPS_DOWN) / 2);
    const linear = reading.linear.map((v) => v * factor) as unknown as Reading['linear'];
    const [l] = plainLab(card.correction, { ...reading, linear }, at_mm);
    return [Math.log(level * factor), Math.log(Math.max(1e-5, luminanceOfLightness(l)))] as const;
  });
  // what the correction says beyond the photo's range must still rise
  const rising: (readonly [number, number])[] = [];
  for (const [x, y] of points) rising.push([x, Math.max(y, (rising.at(-1)?.[1] ?? y) + 0.05)]);
  const step = rising[1][0] - rising[0][0];
  return (v) => {
    if (!(v > 0)) return v === 0 ? 0 : Number.NaN;
    const at = Math.min(STEPS_DOWN + STEPS_UP - 1e-9, Math.max(0, (Math.log(v) - rising[0][0]) / step));
    const [i, t] = [Math.floor(at), at - Math.floor(at)];
    const inside = rising[i][1] + t * (rising[i + 1][1] - rising[i][1]);
    return Math.exp(inside);
  };
}

// CIE 15:2018, 8.2.1, turned round
const luminanceOfLightness = (l: number): number => (l > 8 ? ((l + 16) / 116) ** 3 : l / 903.3);

// the raster's own primaries are near enough linear sRGB for a scale (ITU-R BT.709 weights)
const luminance = ([r, g, b]: Reading['linear']): number => 0.2126 * r + 0.7152 * g + 0.0722 * b;

/** Patches nearest in light that the noise is taken from. */
const NEAREST = 7;

/** The photo's blur by the card's markers, and its noise by the card's patches, which are printed even. */
export function photoTexture(raster: Raster, read: ReadPhoto): PhotoTexture {
  const { placed, toMm } = read.card;
  const patches = placed
    .flatMap((card) => patchQuads(card))
    .flatMap(({ corners_px }) => {
      // nothing is told of so coarse a photo: its curves need not be found
      if (!(pxPerMm(corners_px, quadSides(corners_px.map(toMm))) >= FEWEST_PX_PER_MM)) return [];
      const reading = sampleQuad(raster, corners_px);
      if (reading.pixels === 0 || Math.max(...reading.clippedHigh, ...reading.clippedLow) > 0.01) return [];
      const toLight = lightCurve(read, reading, toMm(reading.centre_px));
      const grid = gridOfLight(raster, corners_px, toMm, toLight);
      if (!grid || grid.clipped.includes(1)) return [];
      const light = grid.light.reduce((s, v) => s + v, 0) / grid.light.length;
      return [{ light, toLight, powers: bandPowers(grid, BANDS) }];
    });
  const paper = patches.reduce<(typeof patches)[number] | undefined>(
    (a, b) => (a && a.light > b.light ? a : b),
    undefined,
  );
  return {
    blur_px: paper && blurOfEdges(raster, placed.flatMap(markerEdges), paper.toLight),
    noise: (band, light) => noiseAt(patches, band, light),
  };
}

/** Noise of light that comes in quanta: its power falls as the light rises. Middle of the patches nearest in light. */
function noiseAt(
  patches: readonly { readonly light: number; readonly powers: readonly BandPower[] }[],
  band: number,
  light: number,
): number {
  const found = patches
    .flatMap(({ light: own, powers }) => {
      const power = powers.find((p) => p.cycles_per_mm === band)?.power;
      return power === undefined
        ? []
        : [{ power: (power * own) / light, off: Math.abs(Math.log(own / light)) }];
    })
    .sort((a, b) => a.off - b.off)
    .slice(0, NEAREST)
    .map((p) => p.power)
    .sort((a, b) => a - b);
  return found[found.length >> 1] ?? 0;
}

/** Ends of a marker's side that are left out, so that the corners' blur does not count. */
const ENDS = 0.1;

/** The black rims of a card's markers on white paper, each side in pieces short enough to be straight under a bowed lens. */
function markerEdges(card: PlacedCard): SharpEdge[] {
  return card.definition.markers.flatMap(({ corners_mm }) => {
    const centre = [0, 1].map((k) => corners_mm.reduce((s, c) => s + c[k] / 4, 0));
    return corners_mm.flatMap((from, i) => {
      const to = corners_mm[(i + 1) % 4];
      const at = (t: number): PointMm => [from[0] + t * (to[0] - from[0]), from[1] + t * (to[1] - from[1])];
      const outward = (p: PointMm): PointMm => [
        p[0] + 0.2 * (p[0] - centre[0]),
        p[1] + 0.2 * (p[1] - centre[1]),
      ];
      return [0, 1].map((piece): SharpEdge => {
        const [a, b] = [0, 1].map((k) => at(ENDS + ((piece + k) / 2) * (1 - 2 * ENDS)));
        return {
          from: card.toPx(a),
          to: card.toPx(b),
          white: card.toPx(outward([(a[0] + b[0]) / 2, (a[1] + b[1]) / 2])),
        };
      });
    });
  });
}
