import type { Level } from './level.ts';

/** Least difference between the dark and bright parts of a photo that has something to show, 0–255. */
const LEAST_CONTRAST = 60;
/** Steepest step over four pixels of a level, as a part of its contrast: below this nothing is sharp … */
const SOFT_STEP = 0.3;
/** … and below this there is no edge at all that could be blurred. */
const ANY_STEP = 0.03;

/** Whether a level shows edges, but not one of them sharp. */
export function isBlurredAllOver({ width, height, data }: Level): boolean {
  const values = new Uint32Array(256);
  const steps = new Uint32Array(256);
  for (let y = 0; y < height; y++)
    for (let x = 2, i = y * width + 2; x < width - 2; x++, i++) {
      values[data[i]]++;
      const across = Math.abs(data[i + 2] - data[i - 2]);
      steps[across]++;
    }
  const contrast = quantile(values, 0.99) - quantile(values, 0.01);
  const steepest = quantile(steps, 0.9995) / Math.max(1, contrast);
  return contrast >= LEAST_CONTRAST && steepest < SOFT_STEP && steepest > ANY_STEP;
}

function quantile(histogram: Uint32Array, share: number): number {
  const wanted = share * histogram.reduce((a, b) => a + b, 0);
  let sum = 0;
  for (let value = 0; value < 256; value++) {
    sum += histogram[value];
    if (sum >= wanted) return value;
  }
  return 255;
}
