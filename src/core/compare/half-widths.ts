import { type Lab, lchDifference } from '../color/index.ts';
import type { LabEnsemble } from '../correction/types.ts';
import type { Vec3 } from '../math/linear.ts';

/** Half-widths of the 95 % intervals of L*, a*, b* of member i: 1.96 standard deviations of its draws. */
export function halfWidths95(colours: LabEnsemble, i: number): Vec3 {
  return halfWidthsOf(colours.count, (k) => drawn(colours, k, i));
}

/** Half-widths of the 95 % intervals of dL, dC, dH of member i less member j; errors that both share cancel. */
export function differenceHalfWidths95(colours: LabEnsemble, i: number, j: number): Vec3 {
  return halfWidthsOf(colours.count, (k) => {
    const { dL, dC, dH } = lchDifference(drawn(colours, k, i), drawn(colours, k, j));
    return [dL, dC, dH];
  });
}

const drawn = ({ draws, ids }: LabEnsemble, k: number, i: number): Lab => {
  const at = 3 * (k * ids.length + i);
  return [draws[at], draws[at + 1], draws[at + 2]];
};

function halfWidthsOf(count: number, drawOf: (k: number) => Vec3): Vec3 {
  const first = drawOf(0);
  const sum = [0, 0, 0];
  const squares = [0, 0, 0];
  for (let k = 0; k < count; k++) {
    const draw = drawOf(k);
    for (let t = 0; t < 3; t++) {
      const d = draw[t] - first[t];
      sum[t] += d;
      squares[t] += d * d;
    }
  }
  const halfWidth = (t: number): number => {
    const variance = count > 1 ? (squares[t] - (sum[t] * sum[t]) / count) / (count - 1) : 0;
    return 1.96 * Math.sqrt(Math.max(0, variance));
  };
  return [halfWidth(0), halfWidth(1), halfWidth(2)];
}
