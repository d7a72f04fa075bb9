/**
 * Metallic panels for tests, painted flake by flake at any resolution: discs of a known size thrown at random over a
 * film, each with its own tilt and so its own brightness. Shares nothing with the code that measures texture.
 */
import { srgbProfile } from '../../../src/core/photo/index.ts';
import type { Raster } from '../../../src/core/photo/types.ts';

export interface FlakePanel {
  readonly size_mm: number;
  readonly flake_mm: number;
  /** Share of the area that flakes cover. */
  readonly cover: number;
  /** How much brighter than the film the brightest flakes are. */
  readonly gleam: number;
  readonly seed: number;
}

/** Small generator of its own (Park and Miller 1988), so that the same panel is painted at any resolution. */
function generator(seed: number): () => number {
  let s = (seed * 7919 + 12345) % 2147483647;
  return () => {
    s = (s * 48271) % 2147483647;
    return s / 2147483647;
  };
}

const encode = (v: number): number =>
  Math.round(255 * (v <= 0.0031308 ? 12.92 * v : 1.055 * Math.min(1, v) ** (1 / 2.4) - 0.055));

const painted = new Map<string, Raster>();

/** A panel's photo, painted once for all who look at it. */
export function flakePhoto(panel: FlakePanel, px_per_mm: number): Raster {
  const key = JSON.stringify([panel, px_per_mm]);
  const photo = painted.get(key) ?? paintFlakes(panel, px_per_mm);
  painted.set(key, photo);
  return photo;
}

/** The panel as a sharp photo of `px_per_mm` shows it: coverage of each pixel by flakes, four by four samples a pixel. */
function paintFlakes(panel: FlakePanel, px_per_mm: number): Raster {
  const n = Math.round(panel.size_mm * px_per_mm);
  const fine = 4;
  const light = new Float64Array(n * n);
  const film = 0.18;
  light.fill(film);
  const next = generator(panel.seed);
  const area = Math.PI * (panel.flake_mm / 2) ** 2;
  const count = Math.round((panel.cover * panel.size_mm ** 2) / area);
  for (let k = 0; k < count; k++) {
    const cx = next() * panel.size_mm;
    const cy = next() * panel.size_mm;
    const r = (panel.flake_mm / 2) * (0.8 + 0.4 * next());
    const gleam = film * panel.gleam * next() ** 3;
    const from = (v: number): number => Math.max(0, Math.floor((v - r) * px_per_mm));
    const to = (v: number): number => Math.min(n - 1, Math.ceil((v + r) * px_per_mm));
    for (let y = from(cy); y <= to(cy); y++)
      for (let x = from(cx); x <= to(cx); x++) {
        let covered = 0;
        for (let sy = 0; sy < fine; sy++)
          for (let sx = 0; sx < fine; sx++) {
            const dx = (x + (sx + 0.5) / fine) / px_per_mm - cx;
            const dy = (y + (sy + 0.5) / fine) / px_per_mm - cy;
            if (dx * dx + dy * dy < r * r) covered++;
          }
        light[y * n + x] += (gleam * covered) / (fine * fine);
      }
  }
  const data = new Uint8Array(3 * n * n);
  light.forEach((v, i) => {
    data.fill(encode(v), 3 * i, 3 * i + 3);
  });
  return { width_px: n, height_px: n, bits: 8, data, profile: srgbProfile(8) };
}
