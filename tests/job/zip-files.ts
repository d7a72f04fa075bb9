/** Zip files written field by field after .ZIP File Format Specification (APPNOTE.TXT) 6.3.10, sections 4.3 and 4.4. */
import { crc32, deflateRawSync } from 'node:zlib';

export interface ZipPart {
  readonly name: string;
  readonly content: Uint8Array | string;
  readonly method?: number;
  /** Other compressed data than the content's own. */
  readonly packed?: Uint8Array;
  /** Another size than the content's own, in both headers. */
  readonly bytes?: number;
  readonly flags?: number;
  /** Another name in the local header. */
  readonly localName?: string;
  /** Sizes after the data (4.3.9), zero in the local header, as programs write that do not know them beforehand. */
  readonly streamed?: boolean;
  /** Sizes in a ZIP64 extra field of the directory (4.5.3). */
  readonly zip64?: boolean;
  /** No local header of its own: the directory points to the part before it. */
  readonly overlaps?: boolean;
}

export function zipOf(parts: readonly ZipPart[], comment = ''): Uint8Array {
  const files: Buffer[] = [];
  const directory: Buffer[] = [];
  let at = 0;
  let before = 0;
  for (const part of parts) {
    const content = Buffer.from(part.content);
    const method = part.method ?? 0;
    const packed = Buffer.from(part.packed ?? (method === 8 ? deflateRawSync(content) : content));
    const bytes = part.bytes ?? content.length;
    const crc = crc32(content);
    const flags = (part.flags ?? 0x800) | (part.streamed ? 8 : 0);
    const known = part.streamed ? [0, 0, 0] : [crc, packed.length, bytes];
    const local = Buffer.concat([
      numbers([4, 0x04034b50], [2, 20], [2, flags], [2, method], [2, 0], [2, 0x21]),
      numbers([4, known[0]], [4, known[1]], [4, known[2]]),
      numbers([2, Buffer.byteLength(part.localName ?? part.name)], [2, 0]),
      Buffer.from(part.localName ?? part.name),
      packed,
      part.streamed ? numbers([4, 0x08074b50], [4, crc], [4, packed.length], [4, bytes]) : Buffer.alloc(0),
    ]);
    const extra = part.zip64
      ? numbers([2, 1], [2, 16], [4, bytes], [4, 0], [4, packed.length], [4, 0])
      : Buffer.alloc(0);
    directory.push(
      numbers([4, 0x02014b50], [2, 20], [2, 20], [2, flags], [2, method], [2, 0], [2, 0x21], [4, crc]),
      numbers([4, part.zip64 ? 0xffffffff : packed.length], [4, part.zip64 ? 0xffffffff : bytes]),
      numbers([2, Buffer.byteLength(part.name)], [2, extra.length], [2, 0], [2, 0], [2, 0], [4, 0]),
      numbers([4, part.overlaps ? before : at]),
      Buffer.from(part.name),
      extra,
    );
    if (part.overlaps) continue;
    before = at;
    files.push(local);
    at += local.length;
  }
  const list = Buffer.concat(directory);
  const end = numbers(
    [4, 0x06054b50],
    [2, 0],
    [2, 0],
    [2, parts.length],
    [2, parts.length],
    [4, list.length],
    [4, at],
  );
  return Uint8Array.from(
    Buffer.concat([...files, list, end, numbers([2, comment.length]), Buffer.from(comment)]),
  );
}

function numbers(...fields: readonly (readonly [size: number, value: number])[]): Buffer {
  return Buffer.concat(
    fields.map(([size, value]) => {
      const bytes = Buffer.alloc(size);
      bytes.writeUIntLE(value, 0, size);
      return bytes;
    }),
  );
}
