import { WASM } from '../../../../compiled/tags/wasm.ts';
import { memoryFrom, startCompiled } from '../../compiled.ts';
import { type PhotoHolder, photoHolder, type ReadsPhoto } from '../../photo/held-part.ts';

/** What `compiled/tags/index.ts` exports; the same names tell more there. 1 stands for true. */
interface TagCode extends ReadsPhoto {
  fitBytes(reach: number): number;
  fitSquare(corners: number, reach_px: number, places: number, rounds: number, work: number): number;
  cellBytes(): number;
  readCells(matrix: number, cells: number, work: number): number;
  isPlain(matrix: number): number;
  nearestCode(cells: number, upper: number, lower: number, count: number, out: number, work: number): void;
  reduceRow(
    rows: number,
    rowCount: number,
    stride: number,
    isWide: number,
    factor: number,
    step: number,
    width: number,
    encode: number,
    out: number,
  ): void;
  thresholdBytes(width: number, height: number): number;
  markDark(level: number, width: number, height: number, dark: number, work: number): number;
  areaBytes(runs: number): number;
  outlineBytes(width: number, height: number): number;
  findQuads(
    level: number,
    width: number,
    height: number,
    dark: number,
    runs: number,
    areas: number,
    outline: number,
    quads: number,
    lines: number,
  ): number;
}

/** Photos of no more bytes are held whole: dozens of squares are tried in them. */
const HELD_WHOLE_BYTES = 16e6;

let holder: PhotoHolder<TagCode> | undefined;

/** The loops, with the part of a photo that they read. */
export function tagHolder(): PhotoHolder<TagCode> {
  if (!holder) {
    const code = startCompiled<TagCode>(WASM);
    holder = photoHolder(code, code.firstFree(), HELD_WHOLE_BYTES);
  }
  return holder;
}

type TagMemory = { readonly code: TagCode } & ReturnType<typeof memoryFrom>;

/** The whole memory, to be laid out: what light stood there is gone. */
export function tagMemory(): TagMemory {
  const { code, forget } = tagHolder();
  forget();
  return { code, ...memoryFrom(code.firstFree()) };
}

/** The memory behind the light that stands there. */
export function behindLight(): TagMemory {
  const { code, behind } = tagHolder();
  return { code, ...memoryFrom(behind()) };
}
