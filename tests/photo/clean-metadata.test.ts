import { isDeepStrictEqual } from 'node:util';
import sharp from 'sharp';
import { beforeAll, describe, expect, it } from 'vitest';
import { cleanMetadata } from '../../src/core/photo/clean-metadata.ts';
import { readDirectory, tiffStart } from '../../src/core/photo/clean-metadata-directory.ts';
import { readPhoto } from '../../src/node/read-photo.ts';
import { tiffFile, withInteroperability, withPngChunk } from './picture-files.ts';

/**
 * What a phone may write about place, person and device. The libraries behind `sharp` (libexif for EXIF data) turn these
 * names into tags, so that the numbers in our own list are checked against another's.
 */
const PRIVATE = {
  IFD0: {
    Make: 'SECRET make',
    Model: 'SECRET model',
    Software: 'SECRET software',
    Artist: 'SECRET artist',
    Copyright: 'SECRET copyright',
    ImageDescription: 'SECRET description',
    HostComputer: 'SECRET host',
  },
  IFD2: {
    MakerNote: 'SECRET maker note',
    UserComment: 'SECRET comment',
    CameraOwnerName: 'SECRET owner',
    BodySerialNumber: 'SECRET body',
    LensSerialNumber: 'SECRET lens',
    LensModel: 'SECRET lens model',
    ImageUniqueID: 'SECRET id',
    OffsetTimeOriginal: '+12:45',
  },
  IFD3: {
    GPSVersionID: '2 3 0 0',
    GPSLatitudeRef: 'N',
    GPSLatitude: '51/1 28/1 387654/10000',
    GPSLongitude: '0/1 0/1 53/10',
    GPSAreaInformation: 'SECRET area',
    GPSDateStamp: '2031:05:06',
  },
};

/** What stays: how the picture is to be shown, when it was taken, how it was exposed. */
const PLAIN = {
  IFD0: { Orientation: '6', DateTime: '2031:05:06 07:08:09' },
  IFD2: {
    ExposureTime: '1/125',
    FNumber: '18/10',
    ExposureProgram: '2',
    ISOSpeedRatings: '64',
    SensitivityType: '2',
    DateTimeOriginal: '2031:05:06 07:08:08',
    DateTimeDigitized: '2031:05:06 07:08:07',
    ShutterSpeedValue: '697/100',
    ApertureValue: '170/100',
    BrightnessValue: '512/100',
    ExposureBiasValue: '-1/3',
    MeteringMode: '5',
    LightSource: '1',
    Flash: '16',
    FocalLength: '57/10',
    ColorSpace: '65535',
    CustomRendered: '1',
    ExposureMode: '1',
    WhiteBalance: '1',
    DigitalZoomRatio: '1/1',
    FocalLengthIn35mmFilm: '26',
    Gamma: '22/10',
  },
};

const XMP =
  '<?xpacket begin="" id="W5M0MpCehiHzreSzNTczkc9d"?><x:xmpmeta xmlns:x="adobe:ns:meta/"><rdf:RDF xmlns:rdf="http://www.w3.org/1999/02/22-rdf-syntax-ns#"><rdf:Description rdf:about="" xmlns:dc="http://purl.org/dc/elements/1.1/" dc:creator="SECRET creator"/></rdf:RDF></x:xmpmeta><?xpacket end="r"?>';

const EXIF = {
  IFD0: { ...PRIVATE.IFD0, ...PLAIN.IFD0 },
  IFD2: { ...PRIVATE.IFD2, ...PLAIN.IFD2 },
  IFD3: PRIVATE.IFD3,
};

/** A picture with edges and shades, so that a change of any part of its coding would show. */
function picture() {
  const pixels = Buffer.alloc(3 * 61 * 47);
  for (let i = 0; i < pixels.length; i++) pixels[i] = (i * 37 + ((i / 190) | 0) * 11) % 256;
  return sharp(pixels, { raw: { width: 61, height: 47, channels: 3 } })
    .withIccProfile('p3')
    .withExif(EXIF)
    .withXmp(XMP);
}

function text(bytes: Uint8Array): string {
  return Buffer.from(bytes).toString('latin1');
}

function clean(bytes: Uint8Array): Uint8Array {
  const photo = cleanMetadata(bytes);
  if (!photo.cleaned) throw new Error(photo.why);
  return photo.bytes;
}

/** Tags in the first and in the exposure directory. */
function tagsOf(exif: Uint8Array): number[][] {
  const tiff = exif[0] === 0x45 ? exif.subarray(6) : exif;
  const { little, first } = tiffStart(tiff)!;
  const { entries } = readDirectory(tiff, first, little);
  const below = entries.find((e) => e.tag === 0x8769)!;
  const at = new DataView(below.value.buffer, below.value.byteOffset).getUint32(0, little);
  return [entries, readDirectory(tiff, at, little).entries].map((list) =>
    list.map((e) => e.tag).sort((a, b) => a - b),
  );
}

async function expectSamePicture(before: Uint8Array, after: Uint8Array): Promise<void> {
  const [a, b] = [await readPhoto(before), await readPhoto(after)];
  // all of it at once: value by value takes a hundred times as long
  expect(isDeepStrictEqual(b.raster, a.raster), 'the same pixels and profile').toBe(true);
  expect(b.warnings).toEqual(a.warnings);
  const [was, is] = [await sharp(before).metadata(), await sharp(after).metadata()];
  expect(is.icc?.toString('hex')).toBe(was.icc?.toString('hex'));
  expect(is.orientation).toBe(was.orientation);
  expect(is.density).toBe(was.density);
}

const files: { name: string; bytes: Uint8Array }[] = [];
beforeAll(async () => {
  const progressive = await picture().jpeg({ progressive: true, chromaSubsampling: '4:2:0' }).toBuffer();
  files.push({ name: 'baseline JPEG', bytes: await picture().jpeg({ quality: 93 }).toBuffer() });
  files.push({ name: 'progressive JPEG', bytes: progressive });
  files.push({ name: 'PNG', bytes: await picture().png().toBuffer() });
  files.push({ name: 'palette PNG', bytes: await picture().png({ palette: true, colours: 16 }).toBuffer() });
  files.push({ name: 'lossy WebP', bytes: await picture().webp().toBuffer() });
  files.push({ name: 'lossless WebP', bytes: await picture().webp({ lossless: true }).toBuffer() });
  files.push({
    name: 'TIFF in LZW strips',
    bytes: await picture().tiff({ compression: 'lzw', predictor: 'horizontal' }).toBuffer(),
  });
  files.push({
    name: 'TIFF in deflated tiles',
    bytes: await picture()
      .tiff({ compression: 'deflate', tile: true, tileWidth: 16, tileHeight: 16 })
      .toBuffer(),
  });
  files.push({
    name: 'TIFF in JPEG strips',
    bytes: await picture().tiff({ compression: 'jpeg', quality: 90 }).toBuffer(),
  });
  files.push({
    name: '16-bit TIFF',
    bytes: await picture().toColourspace('rgb16').tiff({ compression: 'none' }).toBuffer(),
  });
  files.push({ name: '16-bit PNG', bytes: await picture().toColourspace('rgb16').png().toBuffer() });
});

describe('a cleaned photo', () => {
  it('decodes to the same pixels, profile, orientation and resolution, and holds no secret, in every format', async () => {
    for (const { name, bytes } of files) {
      const cleaned = clean(bytes);
      await expectSamePicture(bytes, cleaned);
      expect({
        name,
        before: text(bytes).includes('SECRET'),
        after: text(cleaned).includes('SECRET'),
      }).toEqual({
        name,
        before: true,
        after: false,
      });
      expect((await sharp(cleaned).metadata()).xmp).toBeUndefined();
    }
  });

  it('comes out the same when it is cleaned again, and the photo itself is left as it was', () => {
    for (const { bytes } of files) {
      const before = Buffer.from(bytes);
      expect(clean(clean(bytes))).toEqual(clean(bytes));
      expect(before.equals(bytes)).toBe(true);
    }
  });

  it('keeps exactly the tags of time, exposure and showing, by their numbers in libexif', async () => {
    const [{ bytes }] = files;
    const plain = await sharp(bytes).withExif(PLAIN).keepIccProfile().jpeg().toBuffer();
    const before = (await sharp(plain).metadata()).exif!;
    expect(tagsOf((await sharp(clean(plain)).metadata()).exif!)).toEqual(tagsOf(before));
    expect(tagsOf(before)[1].length).toBeGreaterThanOrEqual(Object.keys(PLAIN.IFD2).length);
    const all = (await sharp(clean(bytes)).metadata()).exif!;
    // YCbCrPositioning, ExifVersion, ComponentsConfiguration and FlashpixVersion, which libexif adds beside other tags
    const added = [0x0213, 0x9000, 0x9101, 0xa000];
    expect(tagsOf(all).map((tags) => tags.filter((tag) => !added.includes(tag)))).toEqual(tagsOf(before));
    expect(text(all)).toContain('2031:05:06 07:08:08');
  });

  it('tells no place: no GPS directory, no position, no date of the satellites, no time zone', () => {
    for (const { bytes } of files.filter(
      ({ name }) => /JPEG$|PNG|WebP/.test(name) && !name.startsWith('TIFF'),
    )) {
      expect(text(bytes)).toContain('+12:45');
      expect(text(clean(bytes))).not.toContain('+12:45');
      // 387654/10000 seconds of latitude, in either byte order
      const seconds = [Uint8Array.of(0x00, 0x05, 0xea, 0x46), Uint8Array.of(0x46, 0xea, 0x05, 0x00)].map(
        text,
      );
      expect(seconds.some((s) => text(bytes).includes(s))).toBe(true);
      expect(seconds.some((s) => text(clean(bytes)).includes(s))).toBe(false);
    }
  });
});

describe('a cleaned JPEG', () => {
  const segment = (marker: number, body: Uint8Array | string): Uint8Array => {
    const content = Buffer.from(body);
    return Buffer.concat([
      Buffer.from([0xff, marker, (content.length + 2) >> 8, (content.length + 2) & 255]),
      content,
    ]);
  };
  const jpegWith = (...segments: Uint8Array[]): Uint8Array =>
    Buffer.concat([files[0].bytes.subarray(0, 2), ...segments, files[0].bytes.subarray(2)]);

  it('leaves out comments, makers’ segments, press data and the pictures behind the picture', async () => {
    const bytes = Buffer.concat([
      jpegWith(
        segment(0xfe, 'SECRET comment'),
        segment(0xe2, 'MPF\0SECRET second picture'),
        segment(0xe5, 'SECRET maker segment'),
        segment(0xed, 'Photoshop 3.0\0SECRET city'),
        segment(0xe1, `http://ns.adobe.com/xmp/extension/\0SECRET more`),
      ),
      files[0].bytes, // a second picture, with a place of its own
      Buffer.from('SECRET film'),
    ]);
    const cleaned = clean(bytes);
    expect(text(cleaned)).not.toContain('SECRET');
    await expectSamePicture(bytes, cleaned);
  });

  it('leaves out thumbnails', async () => {
    const thumbnail = new Uint8Array(3 * 4).fill(77);
    const jfif = Buffer.concat([
      Buffer.from('JFIF\0'),
      Buffer.from([1, 2, 1, 0, 72, 0, 72, 2, 2]),
      thumbnail,
    ]);
    const bytes = jpegWith(segment(0xe0, jfif), segment(0xe0, 'JFXX\0\x10SECRET'));
    const cleaned = clean(bytes);
    expect(text(cleaned)).not.toContain(text(thumbnail));
    expect(text(cleaned)).not.toContain('JFXX');
    expect(text(cleaned.subarray(0, 20))).toBe('\xff\xd8\xff\xe0\0\x10JFIF\0\x01\x02\x01\0H\0H\0\0');
  });

  it('still says that it is Adobe RGB', async () => {
    const [{ bytes }] = files;
    const plain = await sharp(bytes).jpeg().toBuffer();
    const before = withInteroperability(plain, 'R03');
    expect((await readPhoto(clean(before))).raster.profile).toEqual((await readPhoto(before)).raster.profile);
    expect((await readPhoto(clean(before))).raster.profile).not.toEqual(
      (await readPhoto(plain)).raster.profile,
    );
  });

  it('that was cut short is left for the decoder to judge', async () => {
    const [{ bytes }] = files;
    const cut = bytes.subarray(0, bytes.length - 300);
    expect(text(clean(cut))).not.toContain('SECRET');
    await expect(readPhoto(clean(cut))).rejects.toMatchObject({ code: 'image-broken' });
  });
});

describe('a cleaned TIFF', () => {
  /** A TIFF of `tiffFile` with more entries, and all that they point to behind it. */
  function tiffWith(
    extra: readonly (readonly [tag: number, type: number, behind: string | Buffer])[],
    pageAfter = false,
  ): Uint8Array {
    const plain = tiffFile(
      8,
      6,
      Uint8Array.from({ length: 144 }, (_, i) => i),
      { orientation: 8 },
    );
    const view = new DataView(plain.buffer);
    const from = view.getUint32(4, true);
    const count = view.getUint16(from, true);
    const at = plain.length + (plain.length % 2);
    const behind = at + 2 + 12 * (count + extra.length) + 4;
    const texts = extra.map(([, , value]) => (typeof value === 'string' ? Buffer.from(value) : value));
    const out = Buffer.alloc(behind + texts.reduce((n, t) => n + t.length, 0));
    out.set(plain);
    out.writeUInt32LE(at, 4);
    out.writeUInt16LE(count + extra.length, at);
    out.set(plain.subarray(from + 2, from + 2 + 12 * count), at + 2);
    let free = behind;
    for (const [i, [tag, type]] of extra.entries()) {
      const entry = at + 2 + 12 * (count + i);
      out.writeUInt16LE(tag, entry);
      out.writeUInt16LE(type, entry + 2);
      out.writeUInt32LE(type === 4 ? 1 : texts[i].length, entry + 4);
      out.writeUInt32LE(free, entry + 8);
      free += out.set(texts[i], free) ?? texts[i].length;
    }
    if (pageAfter) out.writeUInt32LE(from, behind - 4);
    return Uint8Array.from(out);
  }

  it('holds no text, maker’s data, press data or place, nor their bytes left over', async () => {
    const bytes = tiffWith([
      [270, 2, 'SECRET description'],
      [305, 2, 'SECRET software'],
      [315, 2, 'SECRET artist'],
      [700, 1, 'SECRET xmp'],
      [33723, 7, 'SECRET press data'],
      [34377, 1, 'SECRET resources'],
      [34853, 4, 'SECRET place'],
      [50708, 2, 'SECRET camera'],
    ]);
    expect(text(clean(bytes))).not.toContain('SECRET');
    await expectSamePicture(bytes, clean(bytes));
  });

  it('keeps how it was exposed, not by whom', async () => {
    // a directory of two entries: ExposureProgram 3, BodySerialNumber "S12"
    const exposure = Buffer.from(
      '0200' + '2288030001000000' + '03000000' + '31a4020004000000' + '53313200' + '00000000',
      'hex',
    );
    const bytes = tiffWith([[0x8769, 4, exposure]]);
    const [, tags] = tagsOf(clean(bytes));
    expect(tags).toEqual([0x8822]);
    expect(text(bytes)).toContain('S12');
    expect(text(clean(bytes))).not.toContain('S12');
    await expectSamePicture(bytes, clean(bytes));
  });

  it('is not tried with several pictures in one file, old JPEG coding, or the eight-byte kind', () => {
    expect(cleanMetadata(tiffWith([], true))).toMatchObject({ cleaned: false });
    const old = tiffWith([]);
    const at = new DataView(old.buffer).getUint32(4, true) + 2 + 12 * 3 + 8; // the fourth entry: compression
    old[at] = 6;
    expect(cleanMetadata(old)).toMatchObject({ cleaned: false });
    expect(cleanMetadata(Uint8Array.of(0x49, 0x49, 43, 0, 8, 0, 0, 0))).toMatchObject({ cleaned: false });
  });
});

describe('a photo that cannot be cleaned safely', () => {
  it.each([
    ['HEIC', [0, 0, 0, 16, 0x66, 0x74, 0x79, 0x70, 0x68, 0x65, 0x69, 0x63, 0, 0, 0, 0]],
    ['unknown kind', [1, 2, 3]],
    ['damaged JPEG', [0xff, 0xd8, 0xff, 0xe1, 0xff, 0xff, 1]],
    ['damaged', [0x89, 0x50, 0x4e, 0x47, 0x0d, 0x0a, 0x1a, 0x0a, 0, 0, 0, 9]],
  ])('stays as it is, with the reason: %s', (word, bytes) => {
    const photo = Uint8Array.from(bytes);
    const cleaned = cleanMetadata(photo);
    expect(cleaned.bytes).toBe(photo);
    expect(cleaned.cleaned ? '' : cleaned.why).toContain(word);
  });

  it('a PNG with EXIF data as text, where the way up may stand', () => {
    const png = files.find(({ name }) => name === 'PNG')!.bytes;
    const body = new TextEncoder().encode('Raw profile type exif\0\0');
    expect(cleanMetadata(withPngChunk(png, 'zTXt', body))).toMatchObject({ cleaned: false });
  });
});
