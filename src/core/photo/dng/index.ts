/**
 * Raw photos as DNG (Digital Negative specification 1.4): the sensor's own light, before any tone curve. Colour filter
 * arrays are binned two by two, which is all that areas need; linear RGB is taken as it is. Values are 16 bit,
 * proportional to light, black taken off, the white the camera chose balanced to equal channels.
 */
import type { Vec3 } from '../../math/linear.ts';
import { turned } from '../turned.ts';
import type { ColourProfile, Raster } from '../types.ts';
import { type Directory, tiffDirectories } from './directory.ts';
import { type RawSamples, rawSamples } from './samples.ts';

const CFA = 32803;
const LINEAR_RAW = 34892;
const TAG = {
  subfile: 254,
  width: 256,
  height: 257,
  bits: 258,
  photometric: 262,
  orientation: 274,
  channels: 277,
  cfaSize: 33421,
  cfa: 33422,
  linearization: 50712,
  blackSize: 50713,
  black: 50714,
  white: 50717,
  neutral: 50728,
  activeArea: 50829,
} as const;

/** Reads a DNG's raw picture. Throws RangeError, with what is wrong in words, when there is none that can be read. */
export function readDng(bytes: Uint8Array): Raster {
  const directories = tiffDirectories(bytes);
  const [first] = directories;
  const raw = directories.find(
    (d) =>
      (d.get(TAG.subfile)?.[0] ?? 0) === 0 && [CFA, LINEAR_RAW].includes(d.get(TAG.photometric)?.[0] ?? 0),
  );
  if (!raw) throw new RangeError('it holds no raw picture');
  const samples = rawSamples(bytes, raw);
  const levels = levelsOf(raw, samples);
  const gains = gainsOf(first);
  const area = areaOf(raw, samples);
  const light =
    samples.channels === 1 ? binned(samples, raw, area, levels, gains) : linear(samples, area, levels, gains);
  return { ...turned(light, first.get(TAG.orientation)?.[0] ?? 1), bits: 16, profile: RAW_PROFILE };
}

/** Size in pixels of the picture that `readDng` would give, told without reading samples; undefined when there is none. */
export function dngPixels(bytes: Uint8Array): number | undefined {
  const raw = tiffDirectories(bytes).find((d) =>
    [CFA, LINEAR_RAW].includes(d.get(TAG.photometric)?.[0] ?? 0),
  );
  const [width, height] = [raw?.get(TAG.width)?.[0], raw?.get(TAG.height)?.[0]];
  return width !== undefined && height !== undefined ? width * height : undefined;
}

const LINEAR_TABLE = Float32Array.from({ length: 65536 }, (_, i) => i / 65535);
const RAW_PROFILE: ColourProfile = {
  name: 'camera raw',
  source: 'embedded',
  isLinear: true,
  decode: [LINEAR_TABLE, LINEAR_TABLE, LINEAR_TABLE],
  toLinearSrgb: [1, 0, 0, 0, 1, 0, 0, 0, 1],
};

interface Area {
  readonly top: number;
  readonly left: number;
  readonly bottom: number;
  readonly right: number;
}

function areaOf(d: Directory, { width, height }: RawSamples): Area {
  const [top, left, bottom, right] = d.get(TAG.activeArea) ?? [0, 0, height, width];
  if (!(top >= 0 && left >= 0 && bottom <= height && right <= width && bottom - top > 1 && right - left > 1))
    throw new RangeError('its active area is broken');
  return { top, left, bottom, right };
}

/** From a sample to 0–1 light: black off by its place in the repeat, white at 1. */
interface Levels {
  readonly table: readonly number[] | undefined;
  readonly blackAt: (row: number, column: number, channel: number) => number;
  readonly whiteOf: (channel: number) => number;
}

function levelsOf(d: Directory, { channels }: RawSamples): Levels {
  const [rows, columns] = d.get(TAG.blackSize) ?? [1, 1];
  const black = d.get(TAG.black) ?? [0];
  const white = d.get(TAG.white) ?? [2 ** (d.get(TAG.bits)?.[0] ?? 16) - 1];
  return {
    table: d.get(TAG.linearization),
    blackAt: (row, column, channel) =>
      black[((row % rows) * columns + (column % columns)) * channels + channel] ?? black[0],
    whiteOf: (channel) => white[channel] ?? white[0],
  };
}

/** Gains that make the camera's neutral grey, the smallest 1: what is full in one channel is full in none below it. */
function gainsOf(d: Directory): Vec3 {
  const neutral = d.get(TAG.neutral);
  if (neutral?.length !== 3 || !neutral.every((v) => v > 0.02 && v < 50)) return [1, 1, 1];
  const top = Math.max(...neutral);
  return [top / neutral[0], top / neutral[1], top / neutral[2]];
}

interface Light {
  readonly width_px: number;
  readonly height_px: number;
  readonly data: Uint16Array;
}

const code = (light: number): number => Math.max(0, Math.min(65535, Math.round(65535 * light)));

function binned(s: RawSamples, d: Directory, area: Area, levels: Levels, gains: Vec3): Light {
  const size = d.get(TAG.cfaSize) ?? [2, 2];
  const pattern = d.get(TAG.cfa) ?? [0, 1, 1, 2];
  const colours = [0, 1, 2].map((c) => pattern.filter((p) => p === c).length);
  if (size[0] !== 2 || size[1] !== 2 || colours.join() !== '1,2,1')
    throw new RangeError('its colour filters are not of the usual two by two kind');
  const width_px = (area.right - area.left) >> 1;
  const height_px = (area.bottom - area.top) >> 1;
  const data = new Uint16Array(3 * width_px * height_px);
  const scale = [0, 1, 2, 3].map((k) => {
    const black = levels.blackAt(k >> 1, k & 1, 0);
    return { black, by: gains[pattern[k]] / (levels.whiteOf(0) - black) / (pattern[k] === 1 ? 2 : 1) };
  });
  for (let y = 0; y < height_px; y++)
    for (let x = 0; x < width_px; x++) {
      const at = (area.top + 2 * y) * s.width + area.left + 2 * x;
      const rgb = [0, 0, 0];
      for (let k = 0; k < 4; k++) {
        const v = s.values[at + (k >> 1) * s.width + (k & 1)];
        const lin = levels.table ? (levels.table[Math.min(v, levels.table.length - 1)] ?? v) : v;
        rgb[pattern[k]] += (lin - scale[k].black) * scale[k].by;
      }
      const to = 3 * (y * width_px + x);
      for (let c = 0; c < 3; c++) data[to + c] = code(rgb[c]);
    }
  return { width_px, height_px, data };
}

function linear(s: RawSamples, area: Area, levels: Levels, gains: Vec3): Light {
  if (s.channels !== 3) throw new RangeError(`it has ${s.channels} channels`);
  const width_px = area.right - area.left;
  const height_px = area.bottom - area.top;
  const data = new Uint16Array(3 * width_px * height_px);
  const black = [0, 1, 2].map((c) => levels.blackAt(0, 0, c));
  const by = [0, 1, 2].map((c) => gains[c] / (levels.whiteOf(c) - black[c]));
  for (let y = 0; y < height_px; y++)
    for (let i = 0; i < 3 * width_px; i++) {
      const c = i % 3;
      const v = s.values[3 * ((area.top + y) * s.width + area.left) + i];
      const lin = levels.table ? (levels.table[Math.min(v, levels.table.length - 1)] ?? v) : v;
      data[3 * y * width_px + i] = code((lin - black[c]) * by[c]);
    }
  return { width_px, height_px, data };
}
