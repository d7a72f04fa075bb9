/** Where a HEIC file keeps the data of its pictures (ISO/IEC 14496-12, 8.11.3: the "iloc" box). */
import { type Box, pick } from './boxes.ts';

/** Bytes of the file from `from` up to, not including, `to`. */
export interface Extent {
  readonly from: number;
  readonly to: number;
}

/**
 * The pieces of each item's data, in their order. Items whose data lie neither in the file nor in its `idat` box are
 * left out. Throws RangeError where the box is cut short.
 */
export function extentsOfItems(v: DataView, meta: readonly Box[]): ReadonlyMap<number, readonly Extent[]> {
  const found = new Map<number, readonly Extent[]>();
  const iloc = pick(meta, 'iloc');
  if (!iloc) return found;
  const version = v.getUint8(iloc.from);
  const sizes = v.getUint16(iloc.from + 4);
  const [offset, length, base, index] = [12, 8, 4, 0].map((shift) => (sizes >> shift) & 15);
  let at = iloc.from + 6;
  const next = (size: number): number => {
    at += size;
    if (size === 0) return 0;
    if (size === 2) return v.getUint16(at - 2);
    return size === 4 ? v.getUint32(at - 4) : v.getUint32(at - 8) * 2 ** 32 + v.getUint32(at - 4);
  };
  const idSize = version === 2 ? 4 : 2;
  const count = next(idSize);
  for (let i = 0; i < count; i++) {
    const id = next(idSize);
    const method = version > 0 ? next(2) & 15 : 0;
    next(2); // number of the file, this one
    const start = next(base) + startOf(method, meta);
    const pieces = Array.from({ length: next(2) }, () => {
      if (version > 0) next(index);
      const from = start + next(offset);
      return { from, to: from + next(length) };
    });
    if (Number.isFinite(start)) found.set(id, pieces);
  }
  return found;
}

/** Where an item's offsets count from; NaN for a way of keeping data that is not read. */
function startOf(method: number, meta: readonly Box[]): number {
  if (method === 0) return 0;
  return (method === 1 ? pick(meta, 'idat')?.from : undefined) ?? Number.NaN;
}

/** An item's data, whole. Throws RangeError where the file is cut short. */
export function dataOf(bytes: Uint8Array, extents: readonly Extent[]): Uint8Array {
  if (extents.some(({ to }) => to > bytes.length)) throw new RangeError('the file is cut short');
  if (extents.length === 1) return bytes.subarray(extents[0].from, extents[0].to);
  const whole = new Uint8Array(extents.reduce((sum, { from, to }) => sum + to - from, 0));
  let at = 0;
  for (const { from, to } of extents) {
    whole.set(bytes.subarray(from, to), at);
    at += to - from;
  }
  return whole;
}
