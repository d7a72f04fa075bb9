import { memoryFrom } from '../compiled.ts';
import type { Raster } from './types.ts';

/** Compiled code that reads a photo's light: what `compiled/photo-part.ts` exports, and where its memory is free. */
export interface ReadsPhoto {
  readonly memory: WebAssembly.Memory;
  firstFree(): number;
  usePhoto(
    pixels: number,
    isWide: number,
    curves: number,
    levels: number,
    left: number,
    top: number,
    width: number,
    height: number,
    photoWidth: number,
    photoHeight: number,
  ): void;
  /** 1 when more of the photo was needed than is held. */
  missed(): number;
}

/** The part of a photo that stands in the memory of compiled code, and the first place behind it. */
interface Held {
  /** Of whose pixels they are; a photo that nobody uses any more is not kept for it. */
  readonly data: WeakRef<Raster['data']>;
  readonly left: number;
  readonly top: number;
  readonly width: number;
  readonly height: number;
  readonly behind: number;
}

/** Keeps a part of a photo, as much as is needed, in the memory of compiled code. */
export interface PhotoHolder<Code> {
  readonly code: Code;
  /**
   * Runs a loop that reads the light about some points (x, y …), with the bytes that it works with behind what is held; again with
   * more of the photo where that was not enough.
   */
  readonly about: <T>(
    photo: Raster,
    points: ArrayLike<number>,
    margin_px: number,
    workBytes: number,
    run: (work: number) => T,
  ) => T;
  /** The first place behind what is held. */
  readonly behind: () => number;
  /** To be called when the memory is put to another use. */
  readonly forget: () => void;
}

/**
 * @param from the first place that a photo may stand at
 * @param whole_bytes photos of no more bytes are held whole, where many places are read
 */
export function photoHolder<Code extends ReadsPhoto>(
  code: Code,
  from: number,
  whole_bytes: number,
): PhotoHolder<Code> {
  let held: Held | undefined;
  return {
    code,
    about(photo, points, margin_px, workBytes, run) {
      for (let margin = margin_px; ; margin *= 4) {
        const part = partAbout(photo, points, photo.data.byteLength > whole_bytes ? margin : undefined);
        if (!held || !holds(held, photo, part)) held = hold(code, from, photo, part);
        const { place, grow } = memoryFrom(held.behind);
        const work = place(workBytes);
        grow(code.memory);
        const answer = run(work);
        const isWhole = held.width === photo.width_px && held.height === photo.height_px;
        if (code.missed() !== 1 || isWhole) return answer;
        held = undefined;
      }
    },
    behind: () => held?.behind ?? from,
    forget() {
      held = undefined;
    },
  };
}

type Part = Pick<Held, 'left' | 'top' | 'width' | 'height'>;

/** So much about points, as far as it lies in the photo, or all of it. */
function partAbout(
  { width_px, height_px }: Raster,
  points: ArrayLike<number>,
  margin: number | undefined,
): Part {
  if (margin === undefined) return { left: 0, top: 0, width: width_px, height: height_px };
  const span = (first: number, last: number): readonly [number, number] => {
    let least = Number.POSITIVE_INFINITY;
    let most = Number.NEGATIVE_INFINITY;
    for (let i = first; i < points.length; i += 2) {
      least = Math.min(least, points[i]);
      most = Math.max(most, points[i]);
    }
    // points that are no numbers have nothing about them
    const within = (at: number): number => Math.max(0, Math.min(last, Math.floor(at))) || 0;
    const from = within(least - margin);
    return [from, Math.max(from, within(most + margin))];
  };
  const [left, right] = span(0, width_px - 1);
  const [top, bottom] = span(1, height_px - 1);
  return { left, top, width: right - left + 1, height: bottom - top + 1 };
}

function holds(has: Held, { data }: Raster, { left, top, width, height }: Part): boolean {
  return (
    has.data.deref() === data &&
    has.left <= left &&
    has.top <= top &&
    has.left + has.width >= left + width &&
    has.top + has.height >= top + height
  );
}

function hold(code: ReadsPhoto, from: number, photo: Raster, part: Part): Held {
  const { data, width_px, height_px, profile } = photo;
  const { left, top, width, height } = part;
  const { place, grow } = memoryFrom(from);
  const bytes = data.BYTES_PER_ELEMENT;
  const levels = profile.decode[0].length;
  const curves = place(12 * levels);
  const pixels = place(3 * width * height * bytes);
  const behind = place(0);
  const buffer = grow(code.memory);
  profile.decode.forEach((curve, c) => {
    new Float32Array(buffer, curves + 4 * c * levels, levels).set(curve);
  });
  const rows = bytes === 1 ? new Uint8Array(buffer, pixels) : new Uint16Array(buffer, pixels);
  if (width === width_px) rows.set(data.subarray(3 * top * width, 3 * (top + height) * width));
  else
    for (let y = 0; y < height; y++) {
      const first = 3 * ((top + y) * width_px + left);
      rows.set(data.subarray(first, first + 3 * width), 3 * y * width);
    }
  code.usePhoto(pixels, bytes - 1, curves, levels, left, top, width, height, width_px, height_px);
  return { data: new WeakRef(data), left, top, width, height, behind };
}
