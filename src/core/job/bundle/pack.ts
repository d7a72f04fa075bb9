import { sha256 } from '@noble/hashes/sha2.js';
import { bytesToHex } from '@noble/hashes/utils.js';
import { strToU8, type Zippable, zipSync } from 'fflate';
import { BUNDLE_FORMAT, type BundleList } from '../../../../shared/schemas/bundle.ts';
import { SprayoutError, type Warning } from '../../errors.ts';
import { cleanMetadata } from '../../photo/clean-metadata.ts';
import { photosWithPlaces } from '../needs.ts';
import type { Job } from '../types.ts';
import { parseDraft } from './draft.ts';
import { safeName } from './file-names.ts';
import { BUNDLE_LIMITS, checkSizes } from './limits.ts';

/** Name of the list of contents in a bundle. */
export const LIST_NAME = 'bundle.json';
const JOB_NAME = 'job.json';

export interface PackOptions {
  /** Version of the program, for the bundle's list. */
  readonly version: string;
  /** What the job's file is called where the bundle is opened; `job.json` when left out. */
  readonly jobFileName?: string | undefined;
  /** Leaves place, serial numbers, owner and the like in the photos. */
  readonly keepMetadata?: boolean | undefined;
}

export interface PackedBundle {
  readonly bytes: Uint8Array;
  readonly list: BundleList;
  readonly warnings: readonly Warning[];
}

/**
 * Packs a job with its photos and card files into one zip file. The same input gives the same bytes.
 *
 * @param job a job, finished or not, or the JSON document of a job file; fields that this version does not know are kept
 * @param files contents of photos and card files, by the paths that the job gives them
 * @throws SprayoutError `job-invalid`; `file-not-found` for a file that measuring the job needs and `files` lacks;
 *   `file-too-large` when a reader would refuse the bundle
 */
export function packBundle(
  job: unknown,
  files: ReadonlyMap<string, Uint8Array>,
  { version, jobFileName = JOB_NAME, keepMetadata = false }: PackOptions,
): PackedBundle {
  const { photos, ...rest } = parseDraft(job, 'to bundle');
  const names = namesInBundle(photos);
  const warnings: Warning[] = [];
  const contents = new Map<string, Uint8Array>();
  const needed = photosWithPlaces({ photos, ...rest });
  for (const { id, file, card } of photos)
    for (const path of card === undefined ? [file] : [file, card]) {
      const [name, bytes] = [names.get(path) as string, files.get(path)];
      if (contents.has(name)) continue;
      if (!bytes) {
        if (needed.has(id)) throw missing(path, id);
        warnings.push({
          code: 'bundle-file-left-out',
          message: `${path} is missing and nothing is measured in photo ${id}: the bundle goes without it.`,
        });
      } else contents.set(name, keepMetadata || path === card ? bytes : cleaned(bytes, path, warnings));
    }
  contents.set(JOB_NAME, strToU8(jsonText(withNames(job, names))));
  const sorted = [...contents].sort(([a], [b]) => (a < b ? -1 : 1));
  checkSizes(
    sorted.map(([name, { length }]) => ({ name, bytes: length, packedBytes: length })),
    'The bundle',
    BUNDLE_LIMITS,
  );
  const list: BundleList = {
    format: BUNDLE_FORMAT,
    made_by: { program: 'sprayout', version },
    job_file: safeName(jobFileName, new Set()),
    job: JOB_NAME,
    files: sorted.map(([path, bytes]) => ({ path, bytes: bytes.length, sha256: bytesToHex(sha256(bytes)) })),
  };
  return { bytes: zipped([[LIST_NAME, strToU8(jsonText(list))], ...sorted]), list, warnings };
}

function missing(path: string, photo: string): SprayoutError {
  return new SprayoutError(
    'file-not-found',
    `${path}, which photo ${photo} of the job needs, is missing.`,
    'Put it where the job says, or correct the job.',
  );
}

/** Paths as the job gives them → paths in the bundle. */
function namesInBundle(photos: Job['photos']): ReadonlyMap<string, string> {
  const names = new Map<string, string>();
  const taken = { photos: new Set<string>(), cards: new Set<string>() };
  const give = (path: string, folder: 'photos' | 'cards'): void => {
    if (!names.has(path)) names.set(path, `${folder}/${safeName(path, taken[folder])}`);
  };
  for (const { file } of photos) give(file, 'photos');
  for (const { card } of photos) if (card !== undefined) give(card, 'cards');
  return names;
}

function withNames(job: unknown, names: ReadonlyMap<string, string>): unknown {
  const document = job as { readonly photos?: readonly { readonly file: string; readonly card?: string }[] };
  return {
    ...document,
    photos: (document.photos ?? []).map((photo) => ({
      ...photo,
      file: names.get(photo.file),
      ...(photo.card !== undefined && { card: names.get(photo.card) }),
    })),
  };
}

function cleaned(bytes: Uint8Array, path: string, warnings: Warning[]): Uint8Array {
  const photo = cleanMetadata(bytes);
  if (!photo.cleaned)
    warnings.push({
      code: 'metadata-kept',
      message: `${path} ${photo.why}: place, serial number or owner that it may hold could not be taken out and are in the bundle.`,
    });
  return photo.bytes;
}

function jsonText(document: unknown): string {
  return `${JSON.stringify(document, null, 2)}\n`;
}

/** Documents are deflated; photos are packed already and only stored. */
function zipped(files: readonly (readonly [name: string, bytes: Uint8Array])[]): Uint8Array {
  // The earliest time that a zip file can give, the same in every time zone: an entry holds local time.
  const mtime = new Date(1980, 0, 1);
  const tree: Zippable = {};
  for (const [name, bytes] of files) tree[name] = [bytes, { level: name.endsWith('.json') ? 6 : 0, mtime }];
  return zipSync(tree);
}
