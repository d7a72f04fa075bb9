/** The units that HEVC pictures are coded in (ITU-T H.265, 7.3.1), as HEIC files keep them. */

/** The parameter sets in a decoder configuration (ISO/IEC 14496-15, 8.3.3.1). Throws RangeError where it is cut short. */
export function* unitsOfConfig(config: Uint8Array): Generator<Uint8Array> {
  const v = new DataView(config.buffer, config.byteOffset, config.byteLength);
  let at = 23;
  for (let arrays = v.getUint8(22); arrays > 0; arrays--) {
    const count = v.getUint16(at + 1);
    at += 3;
    for (let i = 0; i < count; i++) {
      const size = v.getUint16(at);
      yield unitIn(config, at + 2, size);
      at += 2 + size;
    }
  }
}

/** How many bytes give the length of a picture's units, by its decoder configuration. */
export function lengthSizeOf(config: Uint8Array): number {
  return (config[21] & 3) + 1;
}

/** The units of a coded picture, each with its length before it. Throws RangeError where one is cut short. */
export function* unitsOfData(data: Uint8Array, lengthSize: number): Generator<Uint8Array> {
  for (let at = 0; at + lengthSize <= data.length; ) {
    const size = data.subarray(at, at + lengthSize).reduce((sum, byte) => 256 * sum + byte, 0);
    yield unitIn(data, at + lengthSize, size);
    at += lengthSize + size;
  }
}

function unitIn(data: Uint8Array, from: number, size: number): Uint8Array {
  if (from + size > data.length) throw new RangeError('cut short');
  return data.subarray(from, from + size);
}

/** Whether a unit holds the sums that its encoder made of the picture (D.2.19: a suffix SEI message of this type). */
export function isPictureHash(unit: Uint8Array): boolean {
  const SUFFIX_SEI = 40;
  const DECODED_PICTURE_HASH = 132;
  return ((unit[0] >> 1) & 63) === SUFFIX_SEI && unit[2] === DECODED_PICTURE_HASH;
}

/**
 * Whether a unit holds bytes that none may (7.4.2: two zeros, then 0, 1 or 2): part of it was never written, or something
 * else was written over it.
 */
export function isOverwritten(unit: Uint8Array): boolean {
  for (let at = unit.indexOf(0); at >= 0 && at + 2 < unit.length; at = unit.indexOf(0, at + 1))
    if (unit[at + 1] === 0 && unit[at + 2] < 3) return true;
  return false;
}
