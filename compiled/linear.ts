/** Systems of equations, row-major. */
import { at, behind, put } from './numbers';

/**
 * Lower Cholesky factor of a symmetric n × n matrix with `jitter` added to its diagonal; may stand in the matrix's own place. False when
 * the matrix is not positive definite.
 */
export function factorise(a: usize, n: i32, jitter: f64, l: usize): bool {
  for (let i = 0; i < n; i++) {
    const ri = behind(l, i * n);
    for (let j = 0; j <= i; j++) {
      const rj = behind(l, j * n);
      let s = at(a, i * n + j) + (i === j ? jitter : 0);
      for (let k = 0; k < j; k++) s -= at(ri, k) * at(rj, k);
      if (i === j) {
        if (!(s > 0)) return false;
        put(ri, i, sqrt(s));
      } else put(ri, j, s / at(rj, j));
    }
  }
  return true;
}

/** Solves l · lᵀ · x = b for a lower Cholesky factor, in b's place. */
export function solve(l: usize, n: i32, b: usize): void {
  for (let i = 0; i < n; i++) {
    let s = at(b, i);
    for (let k = 0; k < i; k++) s -= at(l, i * n + k) * at(b, k);
    put(b, i, s / at(l, i * n + i));
  }
  for (let i = n - 1; i >= 0; i--) {
    let s = at(b, i);
    for (let k = i + 1; k < n; k++) s -= at(l, k * n + i) * at(b, k);
    put(b, i, s / at(l, i * n + i));
  }
}
