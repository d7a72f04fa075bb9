/** Photos cut into tiles, as phones save them (ISO/IEC 23008-12, 6.6.2.3): where each tile lies. */
import { type Box, metaOf, pick, primaryItem, propertiesOf, text, within } from './boxes.ts';

export interface HeifGrid {
  readonly columns: number;
  readonly rows: number;
  /** Of the whole picture as stored, before it is turned. */
  readonly width_px: number;
  readonly height_px: number;
  /** Items of the tiles, row by row. */
  readonly tiles: readonly number[];
  /** How it has to be turned, as a TIFF orientation: 1, 3, 6 or 8. */
  readonly orientation: number;
}

/** Quarter turns against the clock of an `irot` box, as orientations (TIFF 6.0, tag 274). */
const TURNED = [1, 8, 3, 6] as const;

/** Width and height of the picture turned upright. */
export function uprightSize({ orientation, width_px, height_px }: HeifGrid): readonly [number, number] {
  return orientation > 4 ? [height_px, width_px] : [width_px, height_px];
}

/** The grid of the file's picture; undefined where it is no grid, or is cropped or mirrored besides. */
export function heifGrid(bytes: Uint8Array): HeifGrid | undefined {
  try {
    const v = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
    const meta = metaOf(v);
    const item = primaryItem(v, meta);
    if (item === undefined || !isGrid(v, meta, item)) return undefined;
    const properties = propertiesOf(v, meta, item);
    if (properties.some((p) => ['clap', 'imir'].includes(p.type))) return undefined;
    const at = dataOf(v, meta, item);
    const tiles = tilesOf(v, meta, item);
    if (at === undefined) return undefined;
    const wide = (v.getUint8(at + 1) & 1) === 1;
    const [rows, columns] = [v.getUint8(at + 2) + 1, v.getUint8(at + 3) + 1];
    if (tiles.length !== rows * columns) return undefined;
    const irot = pick(properties, 'irot');
    return {
      columns,
      rows,
      width_px: wide ? v.getUint32(at + 4) : v.getUint16(at + 4),
      height_px: wide ? v.getUint32(at + 8) : v.getUint16(at + 6),
      tiles,
      orientation: irot ? TURNED[v.getUint8(irot.from) & 3] : 1,
    };
  } catch (error) {
    if (error instanceof RangeError) return undefined;
    throw error;
  }
}

function isGrid(v: DataView, meta: readonly Box[], item: number): boolean {
  const iinf = pick(meta, 'iinf');
  if (!iinf) return false;
  const entries = within(v, iinf, v.getUint8(iinf.from) === 0 ? 6 : 8);
  return entries.some((e) => {
    const version = v.getUint8(e.from);
    if (e.type !== 'infe' || version < 2) return false;
    const id = version === 2 ? v.getUint16(e.from + 4) : v.getUint32(e.from + 4);
    return id === item && text(v, e.from + (version === 2 ? 8 : 10)) === 'grid';
  });
}

function tilesOf(v: DataView, meta: readonly Box[], item: number): number[] {
  const iref = pick(meta, 'iref');
  if (!iref) return [];
  const size = v.getUint8(iref.from) === 0 ? 2 : 4;
  const idAt = (at: number): number => (size === 2 ? v.getUint16(at) : v.getUint32(at));
  const own = within(v, iref, 4).find((b) => b.type === 'dimg' && idAt(b.from) === item);
  if (!own) return [];
  const count = v.getUint16(own.from + size);
  return Array.from({ length: count }, (_, i) => idAt(own.from + size + 2 + i * size));
}

/** Where an item's first piece of data begins; undefined where that is neither in the file nor in its `idat` box. */
function dataOf(v: DataView, meta: readonly Box[], item: number): number | undefined {
  const iloc = pick(meta, 'iloc');
  if (!iloc) return undefined;
  const version = v.getUint8(iloc.from);
  const sizes = v.getUint16(iloc.from + 4);
  const [offset, length, base, index] = [12, 8, 4, 0].map((shift) => (sizes >> shift) & 15);
  const numberAt = (at: number, size: number): number =>
    size === 0 ? 0 : size === 4 ? v.getUint32(at) : v.getUint32(at) * 2 ** 32 + v.getUint32(at + 4);
  const wide = version === 2;
  let at = iloc.from + 6;
  const count = wide ? v.getUint32(at) : v.getUint16(at);
  at += wide ? 4 : 2;
  for (let i = 0; i < count; i++) {
    const id = wide ? v.getUint32(at) : v.getUint16(at);
    at += wide ? 4 : 2;
    const method = version > 0 ? v.getUint16(at) & 15 : 0;
    at += (version > 0 ? 2 : 0) + 2;
    const from = numberAt(at, base);
    at += base;
    const extents = v.getUint16(at);
    at += 2;
    const indexSize = version > 0 ? index : 0;
    if (id === item && extents > 0) {
      const start = from + numberAt(at + indexSize, offset);
      if (method === 0) return start;
      const idat = pick(meta, 'idat');
      return method === 1 && idat ? idat.from + start : undefined;
    }
    at += extents * (indexSize + offset + length);
  }
  return undefined;
}
