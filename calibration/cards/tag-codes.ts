/**
 * Writes `shared/tables/tag36h11.json`: the code table of the AprilTag family 36h11
 * (Olson 2011, "AprilTag: a robust and flexible visual fiducial system"; Wang and Olson 2016, "AprilTag 2"),
 * read off the markers that OpenCV's predefined dictionary DICT_APRILTAG_36h11 draws. OpenCV draws the family
 * turned by half a turn; the table is upright as published (tag 0 is 0xd5d628584).
 *
 * Run: `npx tsx calibration/cards/tag-codes.ts`. Needs a build of OpenCV with the objdetect module
 * (4.7 or later); the table does not change from build to build.
 */
import { writeFileSync } from 'node:fs';
import { createRequire } from 'node:module';

interface Matrix {
  ucharPtr(row: number, column: number): Uint8Array;
  delete(): void;
}
interface MarkerBuild {
  Mat: new () => Matrix;
  onRuntimeInitialized?: () => void;
  DICT_APRILTAG_36h11?: { value: number } | number;
  getPredefinedDictionary(kind: number): unknown;
  generateImageMarker(dictionary: unknown, id: number, side_px: number, into: Matrix, border: number): void;
}

const COUNT = 587;
const CELLS = 6;

const build: MarkerBuild = createRequire(import.meta.url)(process.argv[2] ?? '@techstark/opencv-js');
// The build carries a `then` of its own that yields itself: awaiting it would never end.
await new Promise<void>((ready) => {
  build.onRuntimeInitialized = ready;
});
if (build.DICT_APRILTAG_36h11 === undefined)
  throw new Error('This OpenCV build carries no AprilTag dictionaries; take one of 4.7 or later.');
const kind =
  typeof build.DICT_APRILTAG_36h11 === 'number' ? build.DICT_APRILTAG_36h11 : build.DICT_APRILTAG_36h11.value;
const dictionary = build.getPredefinedDictionary(kind);

const codes: string[] = [];
for (let id = 0; id < COUNT; id++) {
  const drawn = new build.Mat();
  build.generateImageMarker(dictionary, id, CELLS + 2, drawn, 1);
  let code = 0n;
  for (let row = 0; row < CELLS; row++)
    for (let column = 0; column < CELLS; column++)
      code = (code << 1n) | (drawn.ucharPtr(CELLS - row, CELLS - column)[0] > 127 ? 1n : 0n);
  codes.push(`0x${code.toString(16).padStart(9, '0')}`);
  drawn.delete();
}

const table = {
  source:
    'AprilTag family 36h11, Olson 2011 and Wang and Olson 2016; read off the markers of OpenCV, DICT_APRILTAG_36h11',
  family: 'tag36h11',
  bits: 'row-major 6×6 as drawn upright, most significant bit top left, bit 1 = white, black border one cell wide',
  codes,
};
const lines: string[] = [];
for (let i = 0; i < COUNT; i += 8)
  lines.push(
    `    ${codes
      .slice(i, i + 8)
      .map((c) => `"${c}"`)
      .join(', ')}`,
  );
const text = JSON.stringify({ ...table, codes: [] }, null, 2).replace('[]', `[\n${lines.join(',\n')}\n  ]`);
writeFileSync(new URL('../../shared/tables/tag36h11.json', import.meta.url), `${text}\n`);
