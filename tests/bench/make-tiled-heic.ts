/**
 * Writes HEIC files as phones do, a grid of HEVC tiles (ISO/IEC 23008-12, 6.6.2.3), from a picture; needs libheif's
 * `heif-enc`, which writes no grids itself:
 *
 *   npx tsx tests/bench/make-tiled-heic.ts PICTURE OUT.heic [TILE_PX] [QUALITY]
 */
import { execFileSync } from 'node:child_process';
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import sharp from 'sharp';

const [picture, out, tileText = '512', quality = '70'] = process.argv.slice(2);
const tile = Number(tileText);

const u8 = (...v: number[]): Buffer => Buffer.from(v);
const u16 = (v: number): Buffer => u8((v >> 8) & 255, v & 255);
const u32 = (v: number): Buffer => Buffer.concat([u16(Math.floor(v / 65536)), u16(v % 65536)]);
const box = (type: string, ...parts: readonly Uint8Array[]): Buffer => {
  const body = Buffer.concat(parts);
  return Buffer.concat([u32(body.length + 8), Buffer.from(type, 'latin1'), body]);
};
const fullBox = (type: string, version: number, flags: number, ...parts: readonly Uint8Array[]): Buffer =>
  box(type, u32(version * 2 ** 24 + flags), ...parts);

/** The configuration and the coded picture of a HEIC file of one image. */
function hevcOf(file: Buffer): { readonly config: Buffer; readonly coded: Buffer } {
  const at = file.indexOf('hvcC', 0, 'latin1');
  const config = file.subarray(at - 4, at - 4 + file.readUInt32BE(at - 4));
  const mdat = file.indexOf('mdat', 0, 'latin1');
  return { config, coded: file.subarray(mdat + 4, mdat - 4 + file.readUInt32BE(mdat - 4)) };
}

const { width = 0, height = 0, icc } = await sharp(picture).metadata();
const columns = Math.ceil(width / tile);
const rows = Math.ceil(height / tile);
const folder = mkdtempSync(join(tmpdir(), 'tiles-'));
const tiles: ReturnType<typeof hevcOf>[] = [];
try {
  for (let i = 0; i < rows * columns; i++) {
    const [left, top] = [(i % columns) * tile, Math.floor(i / columns) * tile];
    const [w, h] = [Math.min(tile, width - left), Math.min(tile, height - top)];
    const png = join(folder, 'tile.png');
    const heic = join(folder, 'tile.heic');
    // the last column and row are filled up with their own edge, as encoders do
    const cut = await sharp(picture).extract({ left, top, width: w, height: h }).toBuffer();
    await sharp(cut)
      .extend({ right: tile - w, bottom: tile - h, extendWith: 'copy' })
      .png()
      .toFile(png);
    execFileSync('heif-enc', ['-q', quality, '-o', heic, png], { stdio: 'ignore' });
    tiles.push(hevcOf(readFileSync(heic)));
  }
} finally {
  rmSync(folder, { recursive: true });
}
if (tiles.some((t) => !t.config.equals(tiles[0].config))) throw new Error('tiles are coded differently');

const grid = tiles.length + 1;
const gridData = Buffer.concat([u8(0, 0, rows - 1, columns - 1), u16(width), u16(height)]);
const infe = (id: number, type: string, hidden: boolean): Buffer =>
  fullBox('infe', 2, hidden ? 1 : 0, u16(id), u16(0), Buffer.from(`${type}\0`, 'latin1'));
const ids = tiles.map((_, i) => i + 1);
const properties = [
  tiles[0].config,
  fullBox('ispe', 0, 0, u32(tile), u32(tile)),
  fullBox('ispe', 0, 0, u32(width), u32(height)),
  ...(icc ? [box('colr', Buffer.from('prof', 'latin1'), icc)] : []),
];
const linked = (id: number, indices: readonly number[]): Buffer =>
  Buffer.concat([u16(id), u8(indices.length, ...indices)]);
const metaWith = (mdatAt: number): Buffer => {
  let at = mdatAt;
  const located = [...tiles.map((t) => t.coded), gridData].map((data, i) => {
    const entry = Buffer.concat([u16(i + 1), u16(0), u16(1), u32(at), u32(data.length)]);
    at += data.length;
    return entry;
  });
  return fullBox(
    'meta',
    0,
    0,
    fullBox('hdlr', 0, 0, u32(0), Buffer.from('pict', 'latin1'), u32(0), u32(0), u32(0), u8(0)),
    fullBox('pitm', 0, 0, u16(grid)),
    fullBox('iloc', 0, 0, u8(0x44, 0), u16(grid), ...located),
    fullBox('iinf', 0, 0, u16(grid), ...ids.map((id) => infe(id, 'hvc1', true)), infe(grid, 'grid', false)),
    fullBox('iref', 0, 0, box('dimg', u16(grid), u16(ids.length), ...ids.map(u16))),
    box(
      'iprp',
      box('ipco', ...properties),
      fullBox(
        'ipma',
        0,
        0,
        u32(grid),
        ...ids.map((id) => linked(id, icc ? [0x81, 2, 4] : [0x81, 2])),
        linked(grid, icc ? [3, 4] : [3]),
      ),
    ),
  );
};
const ftyp = box('ftyp', Buffer.from('heic', 'latin1'), u32(0), Buffer.from('mif1heic', 'latin1'));
const meta = metaWith(ftyp.length + metaWith(0).length + 8);
writeFileSync(out, Buffer.concat([ftyp, meta, box('mdat', ...tiles.map((t) => t.coded), gridData)]));
