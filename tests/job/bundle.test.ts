import { createHash } from 'node:crypto';
import fc from 'fast-check';
import { unzipSync } from 'fflate';
import { describe, expect, it } from 'vitest';
import { isSafePath, safeName } from '../../src/core/job/bundle/file-names.ts';
import { packBundle, unpackBundle } from '../../src/core/job/bundle/index.ts';
import { parseJob } from '../../src/core/job/index.ts';
import { bundleParts, PHOTO } from './bundled-job.ts';
import { soundJob } from './sample-job.ts';
import { zipOf } from './zip-files.ts';

const OPTIONS = { version: '0.1.0', keepMetadata: true };

function pack(job: unknown, files: Readonly<Record<string, Uint8Array>>) {
  return packBundle(job, new Map(Object.entries(files)), OPTIONS);
}

function withPhotoNamed(file: string, name = 'kettle lid') {
  const job = { ...soundJob(), name };
  job.photos[0] = { ...job.photos[0], file };
  return job;
}

describe('a bundle', () => {
  it('brings back the job and every byte of its files', () => {
    const { job, files, warnings } = unpackBundle(pack(soundJob(), { 'photos/sun.jpg': PHOTO }).bytes);
    expect(job).toEqual(parseJob(soundJob(), 'as it was'));
    expect([...files]).toEqual([['photos/sun.jpg', PHOTO]]);
    expect(warnings).toEqual([]);
  });

  it('lists each file with its size and its SHA-256 (FIPS 180-4, as Node’s own gives it)', () => {
    const { bytes } = pack(soundJob(), { 'photos/sun.jpg': PHOTO });
    const unzipped = unzipSync(bytes);
    const list = JSON.parse(new TextDecoder().decode(unzipped['bundle.json']));
    expect(list).toMatchObject({ format: 'sprayout-bundle/1', job: 'job.json' });
    expect(list.made_by).toEqual({ program: 'sprayout', version: '0.1.0' });
    const listed = list.files.map((f: { path: string }) => f.path);
    expect(listed).toEqual(Object.keys(unzipped).filter((name) => name !== 'bundle.json'));
    for (const { path, bytes: size, sha256 } of list.files) {
      expect(size).toBe(unzipped[path].length);
      expect(sha256).toBe(createHash('sha256').update(unzipped[path]).digest('hex'));
    }
  });

  it('is the same to the byte when the same job is packed again, in whatever time zone', () => {
    const zone = process.env.TZ;
    try {
      const packed = ['Pacific/Auckland', 'America/Lima', 'UTC'].map((tz) => {
        process.env.TZ = tz;
        return pack(soundJob(), { 'photos/sun.jpg': PHOTO }).bytes;
      });
      expect(packed[1]).toEqual(packed[0]);
      expect(packed[2]).toEqual(packed[0]);
    } finally {
      if (zone === undefined) delete process.env.TZ;
      else process.env.TZ = zone;
    }
  });

  it('keeps fields of the job that this version does not know', () => {
    const job = { ...soundJob(), later: { field: [1, 2] } };
    job.panels[1] = { ...job.panels[1], later: 'too' };
    const { document } = unpackBundle(pack(job, { 'photos/sun.jpg': PHOTO }).bytes);
    expect(document).toEqual(job);
  });

  it('shows names with markup, quotes and other scripts as they were, and makes file names that every system holds', () => {
    const name = '<b onload="x">Kessel & Söhne</b> 銀 🎨';
    const file = '../<img src=x>/Ünï "銀":*.jpg';
    const { job, files } = unpackBundle(pack(withPhotoNamed(file, name), { [file]: PHOTO }).bytes);
    expect(job.name).toBe(name);
    expect(job.photos[0].file).toBe('photos/Ünï _銀___.jpg');
    expect(files.get(job.photos[0].file)).toEqual(PHOTO);
  });

  it('keeps two photos of one name in two folders apart', () => {
    const job = soundJob();
    job.photos = ['sun/1.JPG', 'shop/1.jpg', 'sun\\1.jpg'].map((file, i) => ({
      ...job.photos[0],
      id: `f${i + 1}`,
      file,
    }));
    const contents = [1, 2, 3].map((n) => Uint8Array.of(n));
    const { job: read, files } = unpackBundle(
      pack(job, Object.fromEntries(job.photos.map(({ file }, i) => [file, contents[i]]))).bytes,
    );
    expect(read.photos.map((p) => files.get(p.file))).toEqual(contents);
    expect(new Set(read.photos.map((p) => p.file.toLowerCase())).size).toBe(3);
  });

  it('needs the photos that something is measured in, and goes without others', () => {
    expect(() => pack(soundJob(), {})).toThrow(expect.objectContaining({ code: 'file-not-found' }));
    const job = soundJob();
    job.photos.push({ ...job.photos[0], id: 'f2', file: 'flop.jpg' });
    const { bytes, warnings } = pack(job, { 'photos/sun.jpg': PHOTO });
    expect(warnings.map((w) => w.code)).toEqual(['bundle-file-left-out']);
    const unpacked = unpackBundle(bytes);
    expect(unpacked.warnings.map((w) => w.code)).toEqual(['bundle-file-missing']);
    expect(unpacked.job.photos[1].file).toBe('photos/flop.jpg');
  });

  it('takes a job in the making, and gives it only to who asks for one', () => {
    const job = soundJob();
    job.panels.push({ id: 'p2', ground: 'g9', measured: [] });
    const { bytes } = pack(job, { 'photos/sun.jpg': PHOTO });
    expect(unpackBundle(bytes, { allowDraft: true }).document).toEqual(job);
    expect(() => unpackBundle(bytes)).toThrow(expect.objectContaining({ code: 'job-invalid' }));
    expect(() => pack({ ...job, white: 5 }, {})).toThrow(expect.objectContaining({ code: 'job-invalid' }));
  });

  it('gives everyone a job with a panel that is not photographed yet', () => {
    const job = soundJob();
    job.panels.push({ id: 'p2', name: 'still wet', measured: [] });
    expect(unpackBundle(pack(job, { 'photos/sun.jpg': PHOTO }).bytes).document).toEqual(job);
  });

  it('says which photo could not be cleaned', () => {
    const heic = Uint8Array.from([0, 0, 0, 16, ...new TextEncoder().encode('ftypheic'), 0, 0, 0, 0]);
    const { warnings } = packBundle(soundJob(), new Map([['photos/sun.jpg', heic]]), { version: '0.1.0' });
    expect(warnings).toHaveLength(1);
    expect(warnings[0].code).toBe('metadata-kept');
    expect(warnings[0].message).toContain('photos/sun.jpg is a HEIC photo');
  });

  it('brings back any bytes under any names', () => {
    const fileName = fc.string({ unit: 'binary', minLength: 1, maxLength: 40 });
    fc.assert(
      fc.property(
        fc.uniqueArray(fc.tuple(fileName, fc.uint8Array({ maxLength: 300 })), {
          minLength: 1,
          maxLength: 6,
          selector: ([name]) => name,
        }),
        fc.string({ unit: 'binary', maxLength: 60 }),
        (photos, name) => {
          const job = { ...soundJob(), name };
          job.photos = photos.map(([file], i) => ({ ...job.photos[0], id: `f${i + 1}`, file }));
          const { bytes } = packBundle(job, new Map(photos), { ...OPTIONS, jobFileName: name });
          const unpacked = unpackBundle(bytes);
          expect(unpacked.job.name).toBe(name);
          expect(unpacked.job.photos.map((p) => unpacked.files.get(p.file))).toEqual(
            photos.map(([, content]) => content),
          );
        },
      ),
      { seed: 7, numRuns: 60 },
    );
  });

  it('makes safe names, each once, out of any', () => {
    fc.assert(
      fc.property(fc.array(fc.string({ unit: 'binary', maxLength: 200 }), { maxLength: 8 }), (names) => {
        const taken = new Set<string>();
        const made = [...names, 'CON', 'aux.jpg', '..', ' ', 'com1.', 'a/..\\'].map((n) =>
          safeName(n, taken),
        );
        expect(made.filter((n) => !isSafePath(n) || n.includes('/') || Buffer.byteLength(n) > 255)).toEqual(
          [],
        );
        expect(new Set(made.map((n) => n.toLowerCase())).size).toBe(made.length);
      }),
      { seed: 8, numRuns: 300 },
    );
  });
});

describe('a bundle zipped again by another program', () => {
  const parts = bundleParts();

  it.each<[string, Uint8Array]>([
    ['stored, with a comment', zipOf(parts, 'zipped again')],
    ['in another order, with folders', zipOf([{ name: 'photos/', content: '' }, ...parts.slice().reverse()])],
    ['deflated by zlib', zipOf(parts.map((p) => ({ ...p, method: 8 })))],
    ['with sizes behind the data', zipOf(parts.map((p) => ({ ...p, method: 8, streamed: true })))],
    ['with ZIP64 sizes', zipOf(parts.map((p) => ({ ...p, zip64: true })))],
  ])('opens: %s', (_, zip) => {
    const { job, files, warnings } = unpackBundle(zip);
    expect(job).toEqual(parseJob(soundJob(), 'as it was'));
    expect([...files]).toEqual([['photos/sun.jpg', PHOTO]]);
    expect(warnings).toEqual([]);
  });

  it('opens with names in decomposed letters, as some systems store them', () => {
    const { bytes } = pack(withPhotoNamed('Söhne.jpg'), { 'Söhne.jpg': PHOTO });
    const again = zipOf(
      Object.entries(unzipSync(bytes)).map(([name, content]) => ({ name: name.normalize('NFD'), content })),
    );
    expect(unpackBundle(again).files.get('photos/Söhne.jpg')).toEqual(PHOTO);
  });

  it('leaves out what is not on the list, and says so', () => {
    const zip = zipOf([
      ...parts,
      { name: '__MACOSX/._x', content: 'x' },
      { name: '.DS_Store', content: 'x' },
    ]);
    const { files, warnings } = unpackBundle(zip);
    expect([...files.keys()]).toEqual(['photos/sun.jpg']);
    expect(warnings.map((w) => w.code)).toEqual(['bundle-unlisted']);
    expect(warnings[0].message).toContain('.DS_Store');
  });
});
