import { WASM } from '../../../../compiled/tags/wasm.ts';
import { memoryFrom, startCompiled } from '../../compiled.ts';
import type { Light } from './light.ts';
import type { Corners } from './quads.ts';

/** What `compiled/tags/index.ts` exports; the same names tell more there. */
interface TagCode {
  readonly memory: WebAssembly.Memory;
  firstFree(): number;
  useLight(
    pixels: number,
    isWide: number,
    curves: number,
    levels: number,
    left: number,
    top: number,
    width: number,
    height: number,
    lastX: number,
    lastY: number,
  ): void;
  /** 1 for true, here and below. */
  missed(): number;
  fitBytes(reach: number): number;
  fitSquare(corners: number, reach_px: number, places: number, rounds: number, work: number): number;
  cellBytes(): number;
  readCells(matrix: number, cells: number, work: number): number;
  isPlain(matrix: number): number;
  nearestCode(cells: number, upper: number, lower: number, count: number, out: number, work: number): void;
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

/** A part of a photo: its first column and row, and its size. */
interface Part {
  readonly left: number;
  readonly top: number;
  readonly width: number;
  readonly height: number;
}

/** The part of a photo whose light stands in the memory, and the first place behind it. */
interface Held extends Part {
  readonly data: Light['data'];
  readonly behind: number;
}

let code: TagCode | undefined;
let held: Held | undefined;

function started(): TagCode {
  code ??= startCompiled<TagCode>(WASM);
  return code;
}

type TagMemory = { readonly code: TagCode } & ReturnType<typeof memoryFrom>;

/** The whole memory, to be laid out: what light stood there is gone. */
export function tagMemory(): TagMemory {
  const tags = started();
  held = undefined;
  return { code: tags, ...memoryFrom(tags.firstFree()) };
}

/** The memory behind the light that stands there. */
export function behindLight(): TagMemory {
  const tags = started();
  return { code: tags, ...memoryFrom(held?.behind ?? tags.firstFree()) };
}

/** Photos of no more bytes are held whole: a copy for a first look, in which dozens of squares are tried. */
const HELD_WHOLE_BYTES = 16e6;

/**
 * Runs a loop that reads a photo's light about some corners, with the bytes that it works with behind what is held of it; again with more
 * of the photo where that was not enough.
 */
export function onLight<T>(
  light: Light,
  corners: Corners,
  margin_px: number,
  workBytes: (code: TagCode) => number,
  run: (code: TagCode, work: number) => T,
): T {
  const tags = started();
  for (let margin = margin_px; ; margin *= 4) {
    const part = partAbout(light, corners, margin);
    if (!held || !holds(held, light, part)) held = holdLight(tags, light, part);
    const { place, grow } = memoryFrom(held.behind);
    const work = place(workBytes(tags));
    grow(tags.memory);
    const answer = run(tags, work);
    if (tags.missed() !== 1 || isWhole(light, held)) return answer;
    held = undefined;
  }
}

function partAbout({ data, lastX, lastY }: Light, corners: Corners, margin: number): Part {
  if (data.byteLength <= HELD_WHOLE_BYTES) return { left: 0, top: 0, width: lastX + 1, height: lastY + 1 };
  const span = (first: number, last: number): readonly [number, number] => {
    const places = [corners[first], corners[first + 2], corners[first + 4], corners[first + 6]];
    const within = (at: number): number => Math.max(0, Math.min(last, Math.floor(at)));
    return [within(Math.min(...places) - margin), within(Math.max(...places) + margin)];
  };
  const [left, right] = span(0, lastX);
  const [top, bottom] = span(1, lastY);
  return { left, top, width: right - left + 1, height: bottom - top + 1 };
}

function isWhole({ lastX, lastY }: Light, { width, height }: Part): boolean {
  return width > lastX && height > lastY;
}

function holds(has: Held, { data }: Light, { left, top, width, height }: Part): boolean {
  return (
    has.data === data &&
    has.left <= left &&
    has.top <= top &&
    has.left + has.width >= left + width &&
    has.top + has.height >= top + height
  );
}

function holdLight(tags: TagCode, light: Light, part: Part): Held {
  const { data, red, green, blue, lastX, lastY } = light;
  const { left, top, width, height } = part;
  const { place, grow } = memoryFrom(tags.firstFree());
  const bytes = data.BYTES_PER_ELEMENT;
  const curves = place(12 * red.length);
  const pixels = place(3 * width * height * bytes);
  const behind = place(0);
  const buffer = grow(tags.memory);
  [red, green, blue].forEach((curve, c) => {
    new Float32Array(buffer, curves + 4 * c * red.length, red.length).set(curve);
  });
  const rows = bytes === 1 ? new Uint8Array(buffer, pixels) : new Uint16Array(buffer, pixels);
  if (width === light.width) rows.set(data.subarray(3 * top * width, 3 * (top + height) * width));
  else
    for (let y = 0; y < height; y++) {
      const from = 3 * ((top + y) * light.width + left);
      rows.set(data.subarray(from, from + 3 * width), 3 * y * width);
    }
  tags.useLight(pixels, bytes - 1, curves, red.length, left, top, width, height, lastX, lastY);
  return { data, left, top, width, height, behind };
}
