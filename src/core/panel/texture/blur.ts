/** Gaussian blur of a grid, mirrored at its edges. */

export interface GridSize {
  readonly columns: number;
  readonly rows: number;
}

/**
 * Wider blurs are three running means, whose cost does not grow with the width. Their tails are shorter than a Gaussian's:
 * good for a local mean, but a difference of two blurs would hold 7 % more than one of Gaussians.
 */
const WIDE = 6;

export function blurred(values: Float64Array, { columns, rows }: GridSize, sd: number): Float64Array {
  if (sd < 0.2) return values;
  const along = sd < WIDE ? gaussian(sd) : thriceMean(sd);
  const across = new Float64Array(values.length);
  along(values, across, columns, rows, 1, columns);
  const out = new Float64Array(values.length);
  along(across, out, rows, columns, columns, 1);
  return out;
}

/** Blurs every line of `length` values, `step` apart, lines beginning `line` apart. */
type Pass = (
  from: Float64Array,
  to: Float64Array,
  length: number,
  lines: number,
  step: number,
  line: number,
) => void;

function mirrored(i: number, n: number): number {
  let k = i < 0 ? -i - 1 : i;
  if (k >= n) k = Math.max(0, 2 * n - 1 - k);
  return Math.min(k, n - 1);
}

function gaussian(sd: number): Pass {
  const reach = Math.ceil(3.5 * sd);
  const kernel = Float64Array.from({ length: reach + 1 }, (_, k) => Math.exp(-0.5 * (k / sd) ** 2));
  const total = kernel.reduce((s, v, k) => s + (k === 0 ? v : 2 * v), 0);
  return (from, to, length, lines, step, line) => {
    for (let l = 0; l < lines; l++)
      for (let i = 0; i < length; i++) {
        const at = l * line + i * step;
        let s = kernel[0] * from[at];
        if (i >= reach && i + reach < length)
          for (let k = 1; k <= reach; k++) s += kernel[k] * (from[at - k * step] + from[at + k * step]);
        else
          for (let k = 1; k <= reach; k++)
            s +=
              kernel[k] *
              (from[l * line + mirrored(i - k, length) * step] +
                from[l * line + mirrored(i + k, length) * step]);
        to[at] = s / total;
      }
  };
}

/** Running means whose ends count in part, so that any variance is met exactly (extended box filter, Gwosdek et al. 2011). */
function thriceMean(sd: number): Pass {
  const variance = (sd * sd) / 3;
  const reach = Math.floor((Math.sqrt(12 * variance + 1) - 1) / 2);
  const end = ((2 * reach + 1) * (reach * (reach + 1) - 3 * variance)) / (6 * (variance - (reach + 1) ** 2));
  const width = 2 * reach + 1 + 2 * end;
  return (from, to, length, lines, step, line) => {
    let now = new Float64Array(length);
    let next = new Float64Array(length);
    for (let l = 0; l < lines; l++) {
      for (let i = 0; i < length; i++) now[i] = from[l * line + i * step];
      for (let round = 0; round < 3; round++) {
        let sum = 0;
        for (let k = -reach; k <= reach; k++) sum += now[mirrored(k, length)];
        for (let i = 0; i < length; i++) {
          const [before, after] = [
            now[mirrored(i - reach - 1, length)],
            now[mirrored(i + reach + 1, length)],
          ];
          next[i] = (sum + end * (before + after)) / width;
          sum += after - now[mirrored(i - reach, length)];
        }
        [now, next] = [next, now];
      }
      for (let i = 0; i < length; i++) to[l * line + i * step] = now[i];
    }
  };
}
