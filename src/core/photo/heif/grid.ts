/** Photos as phones save them: cut into tiles (ISO/IEC 23008-12, 6.6.2.3), or in one piece. */
import { type Box, metaOf, pick, primaryItem, propertiesOfItems, text, within } from './boxes.ts';
import { type Extent, extentsOfItems } from './items.ts';

/** A picture of tiles of one size, row by row; one in one piece is a single tile. */
export interface HeifGrid {
  readonly columns: number;
  readonly rows: number;
  /** Of the whole picture as stored, before it is turned. */
  readonly width_px: number;
  readonly height_px: number;
  readonly tileWidth_px: number;
  readonly tileHeight_px: number;
  readonly tiles: readonly CodedTile[];
  /** How it has to be turned, as a TIFF orientation: 1, 3, 6 or 8. */
  readonly orientation: number;
}

/** Where in the file a tile's parts lie. */
export interface CodedTile {
  /** The content of its `hvcC` box. */
  readonly config: Extent;
  readonly data: readonly Extent[];
  /** The content of its `colr` box with nclx codes, where it has one. */
  readonly nclx: Extent | undefined;
}

/** Quarter turns against the clock of an `irot` box, as orientations (TIFF 6.0, tag 274). */
const TURNED = [1, 8, 3, 6] as const;

/** Width and height of the picture turned upright. */
export function uprightSize({ orientation, width_px, height_px }: HeifGrid): readonly [number, number] {
  return orientation > 4 ? [height_px, width_px] : [width_px, height_px];
}

/** The HEVC tiles of the file's picture; undefined where it is coded otherwise, or is cropped or mirrored besides. */
export function heifGrid(bytes: Uint8Array): HeifGrid | undefined {
  try {
    const v = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
    const meta = metaOf(v);
    const item = primaryItem(v, meta);
    if (item === undefined) return undefined;
    const propertiesOf = propertiesOfItems(v, meta);
    const properties = propertiesOf.get(item) ?? [];
    if (properties.some((p) => ['clap', 'imir'].includes(p.type))) return undefined;
    const extents = extentsOfItems(v, meta);
    const whole = sizeOf(v, properties);
    const layout =
      typeOf(v, meta, item) === 'hvc1'
        ? { columns: 1, rows: 1, ...whole, items: [item] }
        : gridLayout(v, meta, item, extents.get(item));
    if (!layout) return undefined;
    const { columns, rows, width_px, height_px, items } = layout;
    const tiles = items.map((id) => {
      const own = propertiesOf.get(id) ?? [];
      // a tile that is changed by itself is left to others
      const isChanged = id !== item && own.some((p) => ['clap', 'imir', 'irot'].includes(p.type));
      return isChanged ? undefined : tileOf(v, own, extents.get(id));
    });
    const tile = sizeOf(v, propertiesOf.get(items[0]) ?? []);
    const isCovered =
      Math.ceil(width_px / tile.width_px) === columns && Math.ceil(height_px / tile.height_px) === rows;
    if (!isCovered || !tiles.every((t) => t !== undefined)) return undefined;
    const irot = pick(properties, 'irot');
    return {
      columns,
      rows,
      width_px,
      height_px,
      tileWidth_px: tile.width_px,
      tileHeight_px: tile.height_px,
      tiles,
      orientation: irot ? TURNED[v.getUint8(irot.from) & 3] : 1,
    };
  } catch (error) {
    if (error instanceof RangeError) return undefined;
    throw error;
  }
}

/** What an item's `ispe` box says; without one it covers nothing. */
function sizeOf(v: DataView, properties: readonly Box[]): Pick<HeifGrid, 'width_px' | 'height_px'> {
  const ispe = pick(properties, 'ispe');
  return ispe
    ? { width_px: v.getUint32(ispe.from + 4), height_px: v.getUint32(ispe.from + 8) }
    : { width_px: 0, height_px: 0 };
}

interface Layout extends Pick<HeifGrid, 'columns' | 'rows' | 'width_px' | 'height_px'> {
  readonly items: readonly number[];
}

function gridLayout(
  v: DataView,
  meta: readonly Box[],
  item: number,
  data: readonly Extent[] | undefined,
): Layout | undefined {
  const at = data?.[0]?.from;
  if (at === undefined || typeOf(v, meta, item) !== 'grid') return undefined;
  const wide = (v.getUint8(at + 1) & 1) === 1;
  const [rows, columns] = [v.getUint8(at + 2) + 1, v.getUint8(at + 3) + 1];
  const items = tilesOf(v, meta, item);
  if (items.length !== rows * columns) return undefined;
  return {
    columns,
    rows,
    width_px: wide ? v.getUint32(at + 4) : v.getUint16(at + 4),
    height_px: wide ? v.getUint32(at + 8) : v.getUint16(at + 6),
    items,
  };
}

function tileOf(
  v: DataView,
  properties: readonly Box[],
  data: readonly Extent[] | undefined,
): CodedTile | undefined {
  const config = pick(properties, 'hvcC');
  if (!config || !data || data.length === 0) return undefined;
  const nclx = properties.find((p) => p.type === 'colr' && text(v, p.from) === 'nclx');
  return { config, data, nclx };
}

function typeOf(v: DataView, meta: readonly Box[], item: number): string | undefined {
  const iinf = pick(meta, 'iinf');
  if (!iinf) return undefined;
  for (const e of within(v, iinf, v.getUint8(iinf.from) === 0 ? 6 : 8)) {
    const version = v.getUint8(e.from);
    if (e.type !== 'infe' || version < 2) continue;
    const id = version === 2 ? v.getUint16(e.from + 4) : v.getUint32(e.from + 4);
    if (id === item) return text(v, e.from + (version === 2 ? 8 : 10));
  }
  return undefined;
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
