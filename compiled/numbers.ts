/** Arrays of f64 in memory, by their addresses. */

export function at(array: usize, i: i32): f64 {
  return load<f64>(array + ((<usize>i) << 3));
}

export function put(array: usize, i: i32, value: f64): void {
  store<f64>(array + ((<usize>i) << 3), value);
}

/** What comes after so many of an array. */
export function behind(array: usize, count: i32): usize {
  return array + ((<usize>count) << 3);
}

/** Sorts a few numbers, smallest first. */
export function sort(values: usize, count: i32): void {
  for (let i = 1; i < count; i++) {
    const value = at(values, i);
    let j = i - 1;
    while (j >= 0 && at(values, j) > value) {
      put(values, j + 1, at(values, j));
      j--;
    }
    put(values, j + 1, value);
  }
}
