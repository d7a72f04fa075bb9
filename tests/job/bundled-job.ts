import { createHash } from 'node:crypto';
import { soundJob } from './sample-job.ts';
import type { ZipPart } from './zip-files.ts';

/** What stands in for a photo here; bundles do not look into photos. */
export const PHOTO = new TextEncoder().encode('stands for a photo');

/** A list of contents as the format says, with sizes and digests of the files given. */
export function bundleList(files: Readonly<Record<string, Uint8Array | string>>) {
  return {
    format: 'sprayout-bundle/1',
    made_by: { program: 'sprayout', version: '0.1.0' },
    job_file: 'lid.job.json',
    job: 'job.json',
    files: Object.entries(files).map(([path, content]) => ({
      path,
      bytes: Buffer.byteLength(content),
      sha256: createHash('sha256').update(content).digest('hex'),
    })),
  };
}

/** The parts of a sound bundle: `bundle.json`, the job and one photo. */
export function bundleParts(job: unknown = soundJob()): ZipPart[] {
  const files = { 'job.json': JSON.stringify(job), 'photos/sun.jpg': PHOTO };
  return [
    { name: 'bundle.json', content: JSON.stringify(bundleList(files)) },
    ...Object.entries(files).map(([name, content]) => ({ name, content })),
  ];
}
