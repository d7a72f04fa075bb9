/** Single pixels that are too light or too dark, and how many there are of each kind. */
import { add, BRIGHT, bins, clipped, DUST, GLARE, kinds, out, room, roots, SOUND } from './area';

/** Quartiles of the sound pixels' roots in a channel, by `binCount` bins of `width`, into `out`; see `markSpecks`. */
export function quartilesOf(count: u32, channel: u32, binCount: u32, width: f64): void {
  const n = <f64>countByLevel(count, channel, binCount, width);
  memory.fill(out, 0, 24);
  let found: u32 = 0;
  let below: f64 = 0;
  for (let k: u32 = 0; k < binCount && found < 3; k++) {
    const held = <f64>load<u32>(bins + 4 * k);
    const upTo = below + held;
    while (found < 3 && held > 0 && upTo >= (<f64>(found + 1) * n) / 4) {
      store<f64>(out + 8 * found, width * (<f64>k + ((<f64>(found + 1) * n) / 4 - below) / held));
      found++;
    }
    below = upTo;
  }
}

/** Counts the sound pixels' roots into `bins`; returns how many pixels there are. */
function countByLevel(count: u32, channel: u32, binCount: u32, width: f64): u32 {
  memory.fill(bins, 0, 4 * binCount);
  const root = roots + 4 * channel * room;
  const last = <f64>(binCount - 1);
  let n: u32 = 0;
  for (let i: u32 = 0; i < count; i++) {
    if (load<u8>(kinds + i) !== SOUND) continue;
    const bin = <i32>min(last, <f64>load<f32>(root + 4 * i) / width);
    const at = bins + 4 * bin;
    store<u32>(at, load<u32>(at) + 1);
    n++;
  }
  return n;
}

/**
 * Marks single pixels beyond the limits in `out` (low and high of each channel): see `markSpecks`. Bright ones stay where they are
 * more than `sparkle` of the sound.
 */
export function markSpecks(count: u32, sparkle: f64): void {
  let sound: u32 = 0;
  let bright: u32 = 0;
  for (let i: u32 = 0; i < count; i++) {
    if (load<u8>(kinds + i) !== SOUND) continue;
    sound++;
    let isLow = false;
    let isHigh = false;
    for (let c: u32 = 0; c < 3; c++) {
      const value = <f64>load<f32>(roots + 4 * (c * room + i));
      if (value < load<f64>(out + 16 * c)) isLow = true;
      if (value > load<f64>(out + 16 * c, 8)) isHigh = true;
    }
    if (isLow) store<u8>(kinds + i, DUST);
    else if (isHigh) {
      store<u8>(kinds + i, BRIGHT);
      bright++;
    }
  }
  if (bright === 0) return;
  const verdict = <f64>bright <= sparkle * <f64>sound ? GLARE : SOUND;
  for (let i: u32 = 0; i < count; i++) if (load<u8>(kinds + i) === BRIGHT) store<u8>(kinds + i, verdict);
}

/** Counts, into `out`: glare, dust, and the sound pixels with each of the six clipped bits. */
export function countKinds(count: u32): void {
  memory.fill(out, 0, 64);
  for (let i: u32 = 0; i < count; i++) {
    const kind = load<u8>(kinds + i);
    if (kind === GLARE) add(out, 1);
    else if (kind === DUST) add(out + 8, 1);
    if (kind !== SOUND) continue;
    const bits: u32 = load<u8>(clipped + i);
    if (bits === 0) continue;
    for (let k: u32 = 0; k < 6; k++) if (bits & (1 << k)) add(out + 16 + 8 * k, 1);
  }
}
