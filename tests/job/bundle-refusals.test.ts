import { describe, expect, it } from 'vitest';
import { type ErrorCode, SprayoutError } from '../../src/core/errors.ts';
import {
  BUNDLE_LIMITS,
  packBundle,
  type UnpackOptions,
  unpackBundle,
} from '../../src/core/job/bundle/index.ts';
import { bundleList, bundleParts, PHOTO } from './bundled-job.ts';
import { soundJob } from './sample-job.ts';
import { type ZipPart, zipOf } from './zip-files.ts';

function refusal(zip: Uint8Array, options: UnpackOptions = {}): SprayoutError {
  try {
    unpackBundle(zip, { where: 'lid.zip', ...options });
  } catch (error) {
    if (error instanceof SprayoutError) return error;
    throw error;
  }
  throw new Error('was read');
}

function expectRefused(zip: Uint8Array, code: ErrorCode, ...words: string[]): void {
  const error = refusal(zip);
  expect(error.code).toBe(code);
  for (const word of words) expect(error.message).toContain(word);
  expect(error.message.length).toBeLessThan(400);
  expect(error.hint).not.toBe('');
}

/** The sound bundle with one part changed. */
function changed(name: string, change: Partial<ZipPart>): Uint8Array {
  return zipOf(bundleParts().map((part) => (part.name === name ? { ...part, ...change } : part)));
}

/** A bundle that lists and holds the sound job, its photo, and one more file. */
function holding(extra: ZipPart): Uint8Array {
  const files = {
    'job.json': JSON.stringify(soundJob()),
    'photos/sun.jpg': PHOTO,
    [extra.name]: extra.content,
  };
  const parts = Object.entries(files).map(([name, content]) =>
    name === extra.name ? extra : { name, content },
  );
  return zipOf([{ name: 'bundle.json', content: JSON.stringify(bundleList(files)) }, ...parts]);
}

const SOUND = zipOf(bundleParts());

describe('no bundle', () => {
  it('an empty file, a text, a photo', () => {
    expectRefused(new Uint8Array(0), 'file-empty');
    expectRefused(
      new TextEncoder().encode('{ "format": "sprayout-job/1" }'),
      'bundle-invalid',
      'not a zip file',
    );
    expectRefused(Uint8Array.of(0xff, 0xd8, 0xff, 0xe0), 'bundle-invalid', 'not a zip file');
  });

  it('a zip file of something else', () => {
    expectRefused(zipOf([{ name: 'photo.jpg', content: PHOTO }]), 'bundle-invalid', 'no job bundle');
    expectRefused(zipOf([]), 'bundle-invalid', 'no job bundle');
  });

  it('a bundle cut short anywhere', () => {
    for (let length = 1; length < SOUND.length; length += 7)
      expect(['bundle-damaged', 'bundle-invalid']).toContain(refusal(SOUND.subarray(0, length)).code);
    expectRefused(SOUND.subarray(0, SOUND.length - 30), 'bundle-damaged', 'cut short');
  });

  it('one with a password, in several parts, or packed in a rare way', () => {
    expectRefused(changed('job.json', { flags: 0x801 }), 'bundle-invalid', 'password');
    expectRefused(changed('job.json', { method: 14, packed: PHOTO }), 'bundle-invalid', 'method 14');
    const part = SOUND.slice();
    part[part.length - 22 + 4] = 1;
    expectRefused(part, 'bundle-invalid', 'one part of several');
  });
});

describe('a bundle of a newer format', () => {
  const newer = (format: string): Uint8Array =>
    changed('bundle.json', { content: JSON.stringify({ format, contents: [] }) });

  it('says that it was made by a newer version, whatever else it holds', () => {
    expectRefused(newer('sprayout-bundle/2'), 'bundle-newer', 'newer version', 'format 2');
    expectRefused(newer('sprayout-bundle/17'), 'bundle-newer');
  });

  it('is told from a wrong one', () => {
    expectRefused(newer('sprayout-bundle/0'), 'bundle-invalid', 'format');
    expectRefused(newer('sprayout-job/1'), 'bundle-invalid', 'format');
    expectRefused(changed('bundle.json', { content: '[' }), 'json-broken', 'bundle.json');
    expectRefused(changed('bundle.json', { content: 'null' }), 'bundle-invalid');
  });
});

describe('a bundle with a file that is not what was packed', () => {
  const other = changed('photos/sun.jpg', { content: 'stands for a phot0' });
  const longer = changed('photos/sun.jpg', { content: 'stands for a photo!' });
  const gone = zipOf(bundleParts().filter((p) => p.name !== 'photos/sun.jpg'));
  const torn = changed('photos/sun.jpg', { method: 8, packed: Uint8Array.of(0xff, 0xff, 0xff) });

  it('is refused with the file’s name', () => {
    expectRefused(other, 'bundle-damaged', '"photos/sun.jpg"', 'not what was packed');
    expectRefused(longer, 'bundle-damaged', '"photos/sun.jpg"');
    expectRefused(torn, 'bundle-damaged', '"photos/sun.jpg"');
    expectRefused(gone, 'bundle-damaged', 'lacks "photos/sun.jpg"');
  });

  it.each([
    ['changed', other],
    ['longer', longer],
    ['gone', gone],
    ['torn', torn],
  ])('gives the rest to who asks for it: %s', (_, zip) => {
    const { job, files, warnings } = unpackBundle(zip, { allowDamaged: true });
    expect(job.name).toBe('kettle lid');
    expect(files.size).toBe(0);
    expect(warnings.map((w) => w.code)).toContain('bundle-file-damaged');
    expect(warnings[0].message).toContain('sun.jpg');
  });

  it('gives nothing when the job itself is damaged', () => {
    const zip = changed('job.json', { content: JSON.stringify({ ...soundJob(), name: 'kettle lit' }) });
    expect(refusal(zip).message).toContain('"job.json"');
    expect(refusal(zip, { allowDamaged: true }).code).toBe('bundle-damaged');
  });

  it('is refused when the job needs a photo that nobody listed', () => {
    const files = { 'job.json': JSON.stringify(soundJob()) };
    const zip = zipOf([
      { name: 'bundle.json', content: JSON.stringify(bundleList(files)) },
      { name: 'job.json', content: files['job.json'] },
    ]);
    expectRefused(zip, 'bundle-damaged', 'lacks "photos/sun.jpg"', 'f1');
  });

  it('is refused when its job is no sound job', () => {
    expectRefused(zipOf(bundleParts({ ...soundJob(), format: 'sprayout-job/9' })), 'job-invalid', 'lid.zip');
  });
});

describe('a bundle that would write elsewhere', () => {
  it.each([
    '../evil.jpg',
    'photos/../../evil.jpg',
    '/etc/evil.jpg',
    'C:/evil.jpg',
    'photos\\..\\evil.jpg',
    'photos//evil.jpg',
    './evil.jpg',
    'photos/evil.jpg ',
    'photos/evil\u0000.jpg',
    'photos/aux.jpg',
  ])('by %j is refused, listed or not', (name) => {
    const evil = { name, content: 'x' };
    expectRefused(zipOf([...bundleParts(), evil]), 'bundle-invalid', 'lead out');
    expectRefused(holding(evil), 'bundle-invalid', 'lead out');
  });

  it('by a name on the list or in the job alone is refused too', () => {
    const list = bundleList({ 'job.json': JSON.stringify(soundJob()), '../evil.jpg': 'x' });
    expectRefused(changed('bundle.json', { content: JSON.stringify(list) }), 'bundle-invalid', 'lead out');
    const named = { ...bundleList({ 'job.json': '' }), job_file: '../lid.job.json' };
    expectRefused(changed('bundle.json', { content: JSON.stringify(named) }), 'bundle-invalid', 'lead out');
    const job = soundJob();
    job.photos.push({ ...job.photos[0], id: 'f2', file: '../../secret.jpg' });
    expectRefused(zipOf(bundleParts(job)), 'bundle-invalid', 'lead out');
  });

  it('with one file twice, or two that some systems take for one, is refused', () => {
    const [, job] = bundleParts();
    expectRefused(zipOf([...bundleParts(), job]), 'bundle-invalid', 'twice');
    expectRefused(
      zipOf([...bundleParts(), { name: 'PHOTOS/Sun.JPG', content: 'x' }]),
      'bundle-invalid',
      'twice',
    );
    expectRefused(changed('photos/sun.jpg', { localName: 'photos/sum.jpg' }), 'bundle-invalid', 'two names');
  });
});

describe('a zip bomb', () => {
  const MEGABYTES_8 = new Uint8Array(8e6);

  it('that swells a thousandfold is refused by its own list of sizes', () => {
    expectRefused(
      holding({ name: 'photos/z.tif', content: MEGABYTES_8, method: 8 }),
      'bundle-invalid',
      'swell',
    );
  });

  it('that lies about its size is stopped when it has reached the size it gave', () => {
    const zip = holding({ name: 'photos/z.tif', content: MEGABYTES_8, method: 8, bytes: 900_000 });
    expectRefused(zip, 'bundle-damaged', '"photos/z.tif"');
  });

  it('of files that lie one over the other is refused (Fifield, A better zip bomb, WOOT 2019)', () => {
    const zip = zipOf([...bundleParts(), { name: 'photos/sun.jpg', content: PHOTO, overlaps: true }]);
    expectRefused(zip, 'bundle-invalid', 'one over the other');
  });

  it('of very many, very large or in all too large files is refused before anything is unpacked', () => {
    const many = zipOf(
      Array.from({ length: BUNDLE_LIMITS.entries + 1 }, (_, i) => ({ name: `${i}`, content: '' })),
    );
    expectRefused(many, 'file-too-large', '2049 files');
    const large = { name: 'photos/z.tif', content: '', method: 8, bytes: 4e9, packed: new Uint8Array(10) };
    expectRefused(zipOf([...bundleParts(), large]), 'file-too-large', '4000 MB');
    expectRefused(
      holding({ name: 'z.json', content: '', method: 8, bytes: 20e6 }),
      'file-too-large',
      'z.json',
    );
    const limits = { ...BUNDLE_LIMITS, total_bytes: SOUND.length - 1 };
    expect(refusal(SOUND, { limits }).code).toBe('file-too-large');
    const inAll = { ...BUNDLE_LIMITS, total_bytes: 1_900_000 };
    const two = [1, 2].map((n) => ({ name: `${n}.tif`, content: Buffer.alloc(1_000_000), method: 8 }));
    expect(refusal(zipOf([...bundleParts(), ...two]), { limits: inAll }).message).toContain('in all');
  });

  it('is never made by packing', () => {
    const job = soundJob();
    const photo = new Uint8Array(BUNDLE_LIMITS.file_bytes + 1);
    expect(() =>
      packBundle(job, new Map([['photos/sun.jpg', photo]]), { version: '1', keepMetadata: true }),
    ).toThrow(expect.objectContaining({ code: 'file-too-large' }));
  });
});
