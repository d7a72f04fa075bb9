import type { LabEnsemble } from '../correction/types.ts';
import type { Vec3 } from '../math/linear.ts';

/** Half-widths of the 95 % intervals of L*, a*, b* of member i: 1.96 standard deviations of its draws. */
export function halfWidths95({ draws, count, ids }: LabEnsemble, i: number): Vec3 {
  const stride = 3 * ids.length;
  const halfWidth = (axis: number): number => {
    let sum = 0;
    let squares = 0;
    const first = draws[3 * i + axis];
    for (let k = 0; k < count; k++) {
      const d = draws[k * stride + 3 * i + axis] - first;
      sum += d;
      squares += d * d;
    }
    const variance = count > 1 ? (squares - (sum * sum) / count) / (count - 1) : 0;
    return 1.96 * Math.sqrt(Math.max(0, variance));
  };
  return [halfWidth(0), halfWidth(1), halfWidth(2)];
}
