/**
 * A Huffman table of a JPEG stream as a lookup over 16 bits: the code's length in the high byte, the value it stands
 * for in the low one; 0 where there is no code.
 */
export type HuffmanLookup = Uint16Array;

/**
 * Reads the tables of one DHT segment (ITU-T T.81, B.2.4.2) into `tables`, by class × 16 + destination (class 0 is DC
 * or lossless, 1 is AC). Throws RangeError when a table has more codes than fit.
 */
export function readHuffmanTables(body: Uint8Array, tables: Map<number, HuffmanLookup>): void {
  for (let at = 0; at + 17 <= body.length; ) {
    const id = body[at];
    const counts = body.subarray(at + 1, at + 17);
    at += 17;
    const lookup = new Uint16Array(1 << 16);
    let code = 0;
    for (let length = 1; length <= 16; length++) {
      for (let k = 0; k < counts[length - 1]; k++) {
        const from = code << (16 - length);
        const to = (code + 1) << (16 - length);
        if (to > 1 << 16) throw new RangeError('its Huffman tables are broken');
        lookup.fill((length << 8) | body[at], from, to);
        at++;
        code++;
      }
      code <<= 1;
    }
    tables.set(id, lookup);
  }
}
