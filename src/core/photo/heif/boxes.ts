/** The boxes of a HEIC file (ISO/IEC 14496-12 and 23008-12). Reading past the end throws RangeError. */

export interface Box {
  readonly type: string;
  readonly from: number;
  readonly to: number;
}

export const text = (v: DataView, at: number): string =>
  String.fromCharCode(v.getUint8(at), v.getUint8(at + 1), v.getUint8(at + 2), v.getUint8(at + 3));

export function boxesIn(v: DataView, from: number, to: number): Box[] {
  const found: Box[] = [];
  for (let at = from; at + 8 <= to; ) {
    let size = v.getUint32(at);
    let head = 8;
    if (size === 1) {
      size = v.getUint32(at + 8) * 2 ** 32 + v.getUint32(at + 12);
      head = 16;
    } else if (size === 0) size = to - at;
    if (size < head) break;
    found.push({ type: text(v, at + 4), from: at + head, to: Math.min(to, at + size) });
    at += size;
  }
  return found;
}

export const within = (v: DataView, b: Box | undefined, skip = 0): Box[] =>
  b ? boxesIn(v, b.from + skip, b.to) : [];
export const pick = (list: readonly Box[], type: string): Box | undefined =>
  list.find((b) => b.type === type);

/** The boxes that describe the file's pictures. */
export const metaOf = (v: DataView): Box[] => within(v, pick(boxesIn(v, 0, v.byteLength), 'meta'), 4);

/** Id of the picture that the file is of. */
export function primaryItem(v: DataView, meta: readonly Box[]): number | undefined {
  const pitm = pick(meta, 'pitm');
  return pitm && (v.getUint8(pitm.from) === 0 ? v.getUint16(pitm.from + 4) : v.getUint32(pitm.from + 4));
}

/** Properties in the file, of all items. */
export const allProperties = (v: DataView, meta: readonly Box[]): Box[] =>
  within(v, pick(within(v, pick(meta, 'iprp')), 'ipco'));

/** Properties of one item, in its order. */
export const propertiesOf = (v: DataView, meta: readonly Box[], item: number): readonly Box[] =>
  propertiesOfItems(v, meta).get(item) ?? [];

/** Properties of each item, in its order. */
export function propertiesOfItems(v: DataView, meta: readonly Box[]): ReadonlyMap<number, readonly Box[]> {
  const found = new Map<number, readonly Box[]>();
  const all = allProperties(v, meta);
  const ipma = pick(within(v, pick(meta, 'iprp')), 'ipma');
  if (!ipma) return found;
  const version = v.getUint8(ipma.from);
  const wide = (v.getUint8(ipma.from + 3) & 1) === 1;
  const count = v.getUint32(ipma.from + 4);
  let at = ipma.from + 8;
  for (let i = 0; i < count; i++) {
    const id = version < 1 ? v.getUint16(at) : v.getUint32(at);
    at += version < 1 ? 2 : 4;
    const links = v.getUint8(at++);
    const own: Box[] = [];
    for (let k = 0; k < links; k++) {
      // numbered from 1
      const property = all[(wide ? v.getUint16(at) & 0x7fff : v.getUint8(at) & 0x7f) - 1];
      if (property) own.push(property);
      at += wide ? 2 : 1;
    }
    if (!found.has(id)) found.set(id, own);
  }
  return found;
}
