import type { CardDefinition } from '../../src/core/card/types.ts';
import { viewing, xyzFromLab } from '../../src/core/color/index.ts';
import { srgbProfile } from '../../src/core/photo/index.ts';
import type { Raster } from '../../src/core/photo/types.ts';

type Rgb = readonly [number, number, number];

/** A flat picture in linear light that rectangles are painted on with exact coverage at their edges. */
export class Canvas {
  readonly #linear: Float32Array;
  constructor(
    readonly width_px: number,
    readonly height_px: number,
    ground: Rgb,
  ) {
    this.#linear = new Float32Array(width_px * height_px * 3);
    for (let i = 0; i < this.#linear.length; i++) this.#linear[i] = ground[i % 3];
  }

  paint(left: number, top: number, right: number, bottom: number, colour: Rgb): void {
    for (let y = Math.max(0, Math.floor(top)); y < Math.min(this.height_px, bottom); y++) {
      const cy = Math.min(y + 1, bottom) - Math.max(y, top);
      for (let x = Math.max(0, Math.floor(left)); x < Math.min(this.width_px, right); x++) {
        const part = cy * (Math.min(x + 1, right) - Math.max(x, left));
        const at = 3 * (y * this.width_px + x);
        for (let c = 0; c < 3; c++) this.#linear[at + c] += part * (colour[c] - this.#linear[at + c]);
      }
    }
  }

  /** As an 8-bit sRGB photo, with a little noise so that no pixel repeats exactly. */
  photo(random: () => number = () => 0): Raster {
    const data = new Uint8Array(this.#linear.length);
    this.#linear.forEach((v, i) => {
      data[i] = Math.min(255, Math.max(0, Math.round(255 * encode(v) + random())));
    });
    return { width_px: this.width_px, height_px: this.height_px, bits: 8, data, profile: srgbProfile(8) };
  }
}

/** sRGB's transfer curve (IEC 61966-2-1), clipped. */
function encode(linear: number): number {
  const v = Math.min(1, Math.max(0, linear));
  return v <= 0.0031308 ? 12.92 * v : 1.055 * v ** (1 / 2.4) - 0.055;
}

/** Linear sRGB of a Lab under D50 (IEC 61966-2-1 primaries, Bradford-adapted), at this exposure. */
export function cameraRgb(lab: readonly [number, number, number], exposure: number): Rgb {
  const [x, y, z] = xyzFromLab(lab, viewing('D50/2').white).map((v) => v * exposure);
  return [
    3.1338561 * x - 1.6168667 * y - 0.4906146 * z,
    -0.9787684 * x + 1.9161415 * y + 0.033454 * z,
    0.0719453 * x - 0.2289914 * y + 1.4052427 * z,
  ];
}

/** Paints a card's patches, scaled, at a place, in the colours that its definition states. */
export function paintCard(
  canvas: Canvas,
  card: CardDefinition,
  [left, top]: readonly [number, number],
  px_per_mm: number,
  exposure: number,
): void {
  const rect = (x: number, y: number, w: number, h: number, colour: Rgb): void =>
    canvas.paint(
      left + x * px_per_mm,
      top + y * px_per_mm,
      left + (x + w) * px_per_mm,
      top + (y + h) * px_per_mm,
      colour,
    );
  rect(0, 0, card.size_mm[0], card.size_mm[1], cameraRgb([95.8, 0, 0], exposure));
  for (const { rect_mm, lab } of card.patches)
    rect(
      rect_mm[0],
      rect_mm[1],
      rect_mm[2],
      rect_mm[3],
      cameraRgb(lab as [number, number, number], exposure),
    );
}
