/** Single-stroke letters and digits for what is printed or written in a scene. */
type Point = readonly [number, number];

/** Polylines on a field 4 wide; capitals and digits run from 0 down to 6, small letters from 2, descenders to 8. */
const GLYPHS: Readonly<Record<string, string>> = {
  '0': '10 30 41 45 36 16 05 01 10',
  '1': '11 20 26',
  '2': '01 10 30 41 42 06 46',
  '3': '00 30 41 32 13 33 44 45 36 16 05',
  '4': '36 30 04 44',
  '5': '40 00 02 32 43 45 36 16 05',
  '6': '40 20 02 05 16 36 45 44 33 13 04',
  '7': '00 40 16',
  '8': '13 02 01 10 30 41 42 33 13 04 05 16 36 45 44 33',
  '9': '43 13 02 01 10 30 41 43 24 06',
  A: '06 20 46/14 34',
  B: '03 33 44 45 36 06 00 30 41 42 33',
  C: '41 30 10 01 05 16 36 45',
  a: '12 32 43 46/44 14 05 16 36 45',
  b: '00 06/03 12 32 43 45 36 16 05',
  c: '43 32 12 03 05 16 36 45',
  d: '40 46/43 32 12 03 05 16 36 45',
  e: '04 44 43 32 12 03 05 16 36 45',
  h: '00 06/03 12 32 43 46',
  i: '22 26/20 21',
  j: '32 37 28 18/30 31',
  l: '20 26',
  m: '06 02/03 12 23 26/23 32 43 46',
  n: '06 02/03 12 32 43 46',
  o: '12 32 43 45 36 16 05 03 12',
  p: '08 02/03 12 32 43 45 36 16 05',
  r: '06 02/03 12 32',
  s: '43 32 12 03 14 34 45 36 16 05',
  t: '20 25 36 46/02 42',
  u: '02 05 16 36 45/42 46',
};

/** Strokes of a text in units of its field, top left at the origin; unknown characters are left blank. */
export function strokesOf(text: string): (readonly [from: Point, to: Point])[] {
  return [...text].flatMap((letter, k) =>
    (GLYPHS[letter] ?? '')
      .split('/')
      .filter((line) => line.length > 0)
      .flatMap((line) => {
        const points = line.split(' ').map((p): Point => [Number(p[0]) + k * ADVANCE, Number(p[1])]);
        return points.slice(1).map((to, i) => [points[i], to] as const);
      }),
  );
}

/** From one letter's left edge to the next one's, in units of the field. */
export const ADVANCE = 6;
