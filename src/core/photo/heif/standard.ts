/**
 * The tiles of a HEIC photo through a decoder with the interface of W3C WebCodecs, which whoever reads the file brings
 * along. A decoder of that kind takes bent bytes for a picture: what tells of damage is looked for before.
 */
import type { HeifGrid } from './grid.ts';
import { dataOf } from './items.ts';
import { type PlanesParts, rgbOfPlanes, roomForPlanes, sizeOfPlanes } from './planes.ts';
import { chromaFactors } from './rgb.ts';
import { layTile } from './tiles.ts';
import { isOverwritten, isPictureHash, lengthSizeOf, unitsOfData } from './units.ts';

/** What of WebCodecs is used here; the same names tell more there. */
export interface StandardCodecs {
  readonly VideoDecoder: new (init: {
    output: (frame: StandardFrame) => void;
    error: (error: Error) => void;
  }) => StandardDecoder;
  readonly EncodedVideoChunk: new (init: { type: 'key'; timestamp: number; data: Uint8Array }) => object;
}

interface StandardDecoder {
  configure(config: DecoderConfig): void;
  decode(chunk: object): void;
  flush(): Promise<void>;
  close(): void;
}

interface DecoderConfig {
  readonly codec: string;
  readonly description: Uint8Array;
  readonly codedWidth: number;
  readonly codedHeight: number;
  readonly hardwareAcceleration: 'prefer-software';
}

interface StandardFrame {
  readonly format: string | null;
  readonly codedWidth: number;
  readonly codedHeight: number;
  readonly timestamp: number;
  readonly colorSpace: { readonly matrix?: string | null; readonly fullRange?: boolean | null };
  allocationSize(): number;
  copyTo(to: Uint8Array): Promise<unknown>;
  close(): void;
}

/** Each has a thread of its own; two keep pace with whoever takes their frames. */
const DECODERS = 2;

/**
 * Decodes all tiles. Rejects where one cannot be decoded, is none of the usual kind (see `decodeTile`), comes with sums to
 * hold it against, or is plainly damaged: such a photo is for a decoder that looks closer.
 */
export async function decodeByStandard(
  codecs: StandardCodecs,
  planes: PlanesParts,
  bytes: Uint8Array,
  grid: HeifGrid,
  photo: Uint8Array,
): Promise<void> {
  const config = configOf(bytes, grid);
  const coded = grid.tiles.map((tile) => soundData(dataOf(bytes, tile.data), config.description));
  let laying: Promise<unknown> = Promise.resolve();
  let count = 0;
  const output = (frame: StandardFrame): void => {
    // one after the other: they share the converter's memory
    laying = laying.then(() => layFrame(frame, planes, bytes, grid, photo)).finally(() => frame.close());
    // told when all are waited for
    laying.catch(() => {});
    count++;
  };
  const decoded = Array.from({ length: Math.min(DECODERS, coded.length) }, async (_, first) => {
    // a failure closes the decoder and is told by its flush as well
    const decoder = new codecs.VideoDecoder({ output, error: () => {} });
    decoder.configure(config);
    for (let place = first; place < coded.length; place += DECODERS)
      decoder.decode(new codecs.EncodedVideoChunk({ type: 'key', timestamp: place, data: coded[place] }));
    await decoder.flush();
    decoder.close();
  });
  await Promise.all(decoded);
  await laying;
  if (count !== coded.length) throw new RangeError('broken HEVC');
}

async function layFrame(
  frame: StandardFrame,
  planes: PlanesParts,
  bytes: Uint8Array,
  grid: HeifGrid,
  photo: Uint8Array,
): Promise<void> {
  const { tileWidth_px: width_px, tileHeight_px: height_px } = grid;
  const place = frame.timestamp;
  const factors = chromaFactors(bytes, grid.tiles[place], matrixOf(frame, width_px, height_px));
  await frame.copyTo(roomForPlanes(planes, width_px, height_px));
  const tile = rgbOfPlanes(planes, width_px, height_px, factors);
  layTile(tile, grid, place, photo);
}

/** Codes of matrices (ITU-T H.273, table 4) by their names in WebCodecs. */
const MATRICES: Readonly<Record<string, number>> = { bt709: 1, bt470bg: 5, smpte170m: 6 };

function matrixOf(frame: StandardFrame, width_px: number, height_px: number): number {
  const { format, codedWidth, codedHeight, colorSpace } = frame;
  if (codedWidth !== width_px || codedHeight !== height_px) throw new RangeError('another size');
  const isPlain = format === 'I420' && frame.allocationSize() === sizeOfPlanes(width_px, height_px);
  const matrix = MATRICES[colorSpace.matrix ?? ''];
  if (!isPlain || colorSpace.fullRange !== true || matrix === undefined)
    throw new RangeError('an unusual kind of HEVC');
  return matrix;
}

function soundData(data: Uint8Array, config: Uint8Array): Uint8Array {
  for (const unit of unitsOfData(data, lengthSizeOf(config))) {
    if (isOverwritten(unit)) throw new RangeError('broken HEVC');
    if (isPictureHash(unit)) throw new RangeError('sums to hold the picture against');
  }
  return data;
}

/** One for all tiles, whose configurations have to be the same. */
function configOf(bytes: Uint8Array, grid: HeifGrid): DecoderConfig {
  const [first, ...others] = grid.tiles.map(({ config }) => bytes.subarray(config.from, config.to));
  const isShared = others.every(
    (other) => other.length === first.length && other.every((byte, i) => byte === first[i]),
  );
  if (!isShared || first.length < 23) throw new RangeError('an unusual kind of HEVC');
  return {
    codec: codecOf(first),
    description: first,
    codedWidth: grid.tileWidth_px,
    codedHeight: grid.tileHeight_px,
    hardwareAcceleration: 'prefer-software',
  };
}

/** The name of a decoder configuration's profile, tier, level and constraints (ISO/IEC 14496-15, E.3). */
function codecOf(config: Uint8Array): string {
  const space = ['', 'A', 'B', 'C'][config[1] >> 6];
  const profile = config[1] & 31;
  const tier = config[1] & 32 ? 'H' : 'L';
  let compatible = 0;
  for (let bit = 0; bit < 32; bit++) if (config[2 + (bit >> 3)] & (128 >> (bit & 7))) compatible += 2 ** bit;
  const constraints = [...config.subarray(6, 12)];
  while (constraints.length > 0 && constraints[constraints.length - 1] === 0) constraints.pop();
  return [
    'hvc1',
    `${space}${profile}`,
    compatible.toString(16),
    `${tier}${config[12]}`,
    ...constraints.map((byte) => byte.toString(16)),
  ].join('.');
}
