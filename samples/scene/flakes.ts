/** Light of flakes in a film: discs thrown at random, each tilted its own way and so of its own brightness. */
import type { Flakes } from './geometry.ts';

/** 0–1 from whole numbers; Wang's integer hash, applied twice. */
function hashed(a: number, b: number, c: number): number {
  let h = (Math.imul(a, 73856093) ^ Math.imul(b, 19349663) ^ Math.imul(c, 83492791)) >>> 0;
  for (let i = 0; i < 2; i++) {
    h = (h ^ 61 ^ (h >>> 16)) >>> 0;
    h = Math.imul(h, 9) >>> 0;
    h = (h ^ (h >>> 4)) >>> 0;
    h = Math.imul(h, 668265261) >>> 0;
    h = (h ^ (h >>> 15)) >>> 0;
  }
  return h / 4294967296;
}

/** Chance of the brightest flakes: most lie nearly flat, few are turned to the light. Mean of the cube of an even chance. */
const MEAN_GLEAM = 1 / 4;

const DISC = Math.PI / 4;

/**
 * Light over a square pixel of side `pixel_mm` at a place of the film (mm), relative to the film's mean light. Flakes lie
 * on a grid of cells of their own size, one a cell with chance and at random inside it, so that they overlap and clump.
 */
export function flakeLight(flakes: Flakes, x_mm: number, y_mm: number, pixel_mm: number): number {
  const { size_mm, gleam } = flakes;
  // as many samples a pixel as keep each finer than half a flake
  const n = Math.min(5, Math.max(1, Math.ceil((2.5 * pixel_mm) / size_mm)));
  const pixel = pixel_mm / size_mm;
  let sum = 0;
  for (let sy = 0; sy < n; sy++)
    for (let sx = 0; sx < n; sx++)
      sum += lightAt(
        flakes,
        x_mm / size_mm + ((sx + 0.5) / n - 0.5) * pixel,
        y_mm / size_mm + ((sy + 0.5) / n - 0.5) * pixel,
        pixel / n,
      );
  const mean = 1 + chanceOf(flakes) * DISC * gleam * MEAN_GLEAM;
  return (1 + sum / (n * n)) / mean;
}

const chanceOf = ({ cover }: Flakes): number => Math.min(1, cover / DISC);

/** Light of the flakes at a place in flake sizes, their edges `soft` wide. */
function lightAt(flakes: Flakes, x: number, y: number, soft: number): number {
  const { gleam, seed } = flakes;
  const [cx, cy] = [Math.floor(x), Math.floor(y)];
  const chance = chanceOf(flakes);
  let light = 0;
  for (let j = cy - 1; j <= cy + 1; j++)
    for (let i = cx - 1; i <= cx + 1; i++) {
      if (hashed(i, j, seed) > chance) continue;
      const dx = x - i - hashed(i, j, seed + 1);
      const dy = y - j - hashed(i, j, seed + 2);
      const inside = (0.5 - Math.hypot(dx, dy)) / soft + 0.5;
      if (inside > 0) light += gleam * hashed(i, j, seed + 3) ** 3 * Math.min(1, inside);
    }
  return light;
}
