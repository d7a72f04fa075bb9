/** Puts a colour profile into a picture file that has none. */
import { zlibSync } from 'fflate';

const PNG_SIGNATURE_BYTES = 8;

/**
 * The file with the profile embedded: JPEG as an APP2 segment after the JFIF header (ICC.1:2022, annex B.4), PNG as an
 * `iCCP` chunk before the pixels (ISO/IEC 15948, 11.3.3.3). Throws RangeError for another kind of file.
 */
export function embedProfile(file: Uint8Array, profile: Uint8Array): Uint8Array {
  if (file[0] === 0xff && file[1] === 0xd8) return intoJpeg(file, profile);
  if (file[0] === 0x89 && file[1] === 0x50) return intoPng(file, profile);
  throw new RangeError('a profile can be embedded into JPEG and PNG files only');
}

function joined(...parts: readonly Uint8Array[]): Uint8Array {
  const out = new Uint8Array(parts.reduce((n, p) => n + p.length, 0));
  let at = 0;
  for (const part of parts) {
    out.set(part, at);
    at += part.length;
  }
  return out;
}

const latin1 = (text: string): Uint8Array => Uint8Array.from(text, (c) => c.charCodeAt(0));

function intoJpeg(file: Uint8Array, profile: Uint8Array): Uint8Array {
  // the JFIF header must stay first
  const start = file[2] === 0xff && file[3] === 0xe0 ? 4 + file[4] * 256 + file[5] : 2;
  const name = latin1('ICC_PROFILE\0');
  const length = 2 + name.length + 2 + profile.length;
  if (length > 0xffff) throw new RangeError('the profile is too large for one segment');
  const marker = Uint8Array.of(0xff, 0xe2, length >> 8, length & 255);
  return joined(file.subarray(0, start), marker, name, Uint8Array.of(1, 1), profile, file.subarray(start));
}

function intoPng(file: Uint8Array, profile: Uint8Array): Uint8Array {
  const header = new DataView(file.buffer, file.byteOffset).getUint32(PNG_SIGNATURE_BYTES);
  const start = PNG_SIGNATURE_BYTES + 12 + header;
  const content = joined(latin1('iCCPICC profile\0\0'), zlibSync(profile, { level: 9 }));
  const chunk = new Uint8Array(content.length + 8);
  const view = new DataView(chunk.buffer);
  view.setUint32(0, content.length - 4);
  chunk.set(content, 4);
  view.setUint32(content.length + 4, crc32(content));
  return joined(file.subarray(0, start), chunk, file.subarray(start));
}

/** CRC of a PNG chunk's type and data (ISO/IEC 15948, annex D). */
function crc32(bytes: Uint8Array): number {
  let crc = 0xffffffff;
  for (const byte of bytes) {
    crc ^= byte;
    for (let k = 0; k < 8; k++) crc = crc & 1 ? 0xedb88320 ^ (crc >>> 1) : crc >>> 1;
  }
  return (crc ^ 0xffffffff) >>> 0;
}
