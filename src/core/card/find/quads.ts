/** Corner positions x0, y0 … x3, y3, clockwise on the screen. */
export type Corners = Float64Array;

/** Length of a side, from corner `side` to the next. */
function sideLength(corners: Corners, side: number): number {
  const a = 2 * (side & 3);
  const b = 2 * ((side + 1) & 3);
  return Math.hypot(corners[b] - corners[a], corners[b + 1] - corners[a + 1]);
}

/** Mean of the four side lengths. */
export function meanSide(corners: Corners): number {
  return (
    (sideLength(corners, 0) + sideLength(corners, 1) + sideLength(corners, 2) + sideLength(corners, 3)) / 4
  );
}
