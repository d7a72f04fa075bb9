/** What a picture file says of itself before anything is decoded: its size, and the colour profile embedded in it. */
import { sniffImage } from './sniff.ts';

export interface PictureHeader {
  /** As stored, before EXIF orientation; undefined when the header does not tell. */
  readonly size_px?: readonly [width: number, height: number];
  /** ICC profile; absent when there is none. PNG profiles come deflated, see `profile_deflated`. */
  readonly icc?: Uint8Array;
  /** True when `icc` is a zlib stream (PNG `iCCP`, PNG third edition 11.3.2.3). */
  readonly icc_deflated?: boolean;
  /** EXIF block, with or without its leading `Exif\0\0`. */
  readonly exif?: Uint8Array;
  /** Colour channels as stored; undefined when the header does not tell. */
  readonly channels?: number;
  readonly bits?: number;
}

/** Reads the header of a JPEG, PNG or WebP. Never throws: what is cut short or unknown is left out. */
export function pictureHeader(bytes: Uint8Array): PictureHeader {
  try {
    switch (sniffImage(bytes).type) {
      case 'jpeg':
        return jpegHeader(bytes);
      case 'png':
        return pngHeader(bytes);
      case 'webp':
        return webpHeader(bytes);
      default:
        return {};
    }
  } catch (error) {
    if (error instanceof RangeError) return {};
    throw error;
  }
}

const viewOf = (bytes: Uint8Array): DataView =>
  new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);

function ascii(bytes: Uint8Array, at: number, text: string): boolean {
  for (let i = 0; i < text.length; i++) if (bytes[at + i] !== text.charCodeAt(i)) return false;
  return true;
}

const ICC_MARK = 'ICC_PROFILE\0';
const EXIF_MARK = 'Exif\0\0';

/** JPEG (ITU-T T.81): segments up to the first scan; profile chunks as in ICC.1:2022 annex B.4. */
function jpegHeader(bytes: Uint8Array): PictureHeader {
  const view = viewOf(bytes);
  const chunks: { readonly index: number; readonly data: Uint8Array }[] = [];
  const out: { -readonly [K in keyof PictureHeader]: PictureHeader[K] } = {};
  for (let at = 2; at + 4 <= bytes.length; ) {
    if (bytes[at] !== 0xff) break;
    const marker = bytes[at + 1];
    if (marker === 0xff) {
      at++;
      continue;
    }
    if (marker === 0xda || marker === 0xd9) break;
    const length = view.getUint16(at + 2);
    const body = at + 4;
    if (isFrameStart(marker)) {
      out.bits = bytes[body];
      out.size_px = [view.getUint16(body + 3), view.getUint16(body + 1)];
      out.channels = bytes[body + 5];
    } else if (marker === 0xe2 && ascii(bytes, body, ICC_MARK))
      chunks.push({ index: bytes[body + 12], data: bytes.subarray(body + 14, at + 2 + length) });
    else if (marker === 0xe1 && ascii(bytes, body, EXIF_MARK) && !out.exif)
      out.exif = bytes.subarray(body, at + 2 + length);
    at += 2 + length;
  }
  if (chunks.length > 0) {
    chunks.sort((a, b) => a.index - b.index);
    out.icc = joined(chunks.map((c) => c.data));
  }
  return out;
}

/** SOF0 to SOF15 without DHT (C4), JPG (C8) and DAC (CC). */
function isFrameStart(marker: number): boolean {
  return marker >= 0xc0 && marker <= 0xcf && marker !== 0xc4 && marker !== 0xc8 && marker !== 0xcc;
}

function joined(parts: readonly Uint8Array[]): Uint8Array {
  const all = new Uint8Array(parts.reduce((sum, p) => sum + p.length, 0));
  let at = 0;
  for (const part of parts) {
    all.set(part, at);
    at += part.length;
  }
  return all;
}

/** Channels by PNG colour type: grey, RGB, palette, grey with alpha, RGB with alpha. */
const PNG_CHANNELS: Readonly<Record<number, number>> = { 0: 1, 2: 3, 3: 3, 4: 1, 6: 3 };

function pngHeader(bytes: Uint8Array): PictureHeader {
  const view = viewOf(bytes);
  const out: { -readonly [K in keyof PictureHeader]: PictureHeader[K] } = {};
  for (let at = 8; at + 12 <= bytes.length; ) {
    const length = view.getUint32(at);
    const body = at + 8;
    if (ascii(bytes, at + 4, 'IHDR')) {
      out.size_px = [view.getUint32(body), view.getUint32(body + 4)];
      out.bits = bytes[body + 8];
      out.channels = PNG_CHANNELS[bytes[body + 9]] ?? 3;
    } else if (ascii(bytes, at + 4, 'iCCP')) {
      const name = bytes.indexOf(0, body);
      if (name >= 0 && name < body + 80) {
        out.icc = bytes.subarray(name + 2, body + length);
        out.icc_deflated = true;
      }
    } else if (ascii(bytes, at + 4, 'eXIf')) out.exif = bytes.subarray(body, body + length);
    else if (ascii(bytes, at + 4, 'IEND')) break;
    at += 12 + length;
  }
  return out;
}

/** WebP (RFC 9649): a RIFF container; the canvas in VP8X, else the frame's own size. */
function webpHeader(bytes: Uint8Array): PictureHeader {
  const view = viewOf(bytes);
  const out: { -readonly [K in keyof PictureHeader]: PictureHeader[K] } = { channels: 3, bits: 8 };
  const uint24 = (at: number): number => bytes[at] | (bytes[at + 1] << 8) | (bytes[at + 2] << 16);
  for (let at = 12; at + 8 <= bytes.length; ) {
    const length = view.getUint32(at + 4, true);
    const body = at + 8;
    if (ascii(bytes, at, 'VP8X')) out.size_px = [uint24(body + 4) + 1, uint24(body + 7) + 1];
    else if (ascii(bytes, at, 'VP8 '))
      out.size_px ??= [view.getUint16(body + 6, true) & 0x3fff, view.getUint16(body + 8, true) & 0x3fff];
    else if (ascii(bytes, at, 'VP8L')) {
      const packed = view.getUint32(body + 1, true);
      out.size_px ??= [(packed & 0x3fff) + 1, ((packed >> 14) & 0x3fff) + 1];
    } else if (ascii(bytes, at, 'ICCP')) out.icc = bytes.subarray(body, body + length);
    else if (ascii(bytes, at, 'EXIF')) out.exif = bytes.subarray(body, body + length);
    at = body + length + (length & 1);
  }
  return out;
}
