import { sha256 } from '@noble/hashes/sha2.js';
import { bytesToHex } from '@noble/hashes/utils.js';
import { strFromU8 } from 'fflate';
import { BUNDLE_FORMAT, type BundleList, bundleSchema } from '../../../../shared/schemas/bundle.ts';
import { SprayoutError, type Warning } from '../../errors.ts';
import { schemaIssue } from '../../schema-issue.ts';
import { parseJson } from '../json-text.ts';
import { photosWithPlaces } from '../needs.ts';
import { parseJob } from '../parse-job.ts';
import type { Job } from '../types.ts';
import { parseDraft } from './draft.ts';
import { fileKey, isSafePath } from './file-names.ts';
import { BUNDLE_LIMITS, type BundleLimits, quoted } from './limits.ts';
import { LIST_NAME } from './pack.ts';
import { damaged, entryBytes, invalid, type ZipEntry, zipEntries } from './zip-entries.ts';

export interface UnpackOptions {
  /** What messages call the bundle. */
  readonly where?: string | undefined;
  /** Goes on without files that are damaged or missing, and warns; otherwise they are refused. */
  readonly allowDamaged?: boolean | undefined;
  /** Takes a job in the making: references to what is not listed, mixes without parts. */
  readonly allowDraft?: boolean | undefined;
  readonly limits?: BundleLimits | undefined;
}

export interface UnpackedBundle {
  readonly job: Job;
  /** The job's JSON document, also with fields that this version does not know. */
  readonly document: unknown;
  /**
   * Contents of photos and card files by their paths in the bundle, which are those that the job gives them. Most are
   * views into the bundle's own bytes.
   */
  readonly files: ReadonlyMap<string, Uint8Array>;
  readonly list: BundleList;
  readonly warnings: readonly Warning[];
}

const HINT_DAMAGED =
  'Copy the bundle again, or ask for it again where it was made; what is whole in it can still be had with --allow-damaged.';

/**
 * Reads a job bundle, every file checked against the size and SHA-256 that the bundle lists.
 *
 * @throws SprayoutError `file-empty`, `file-too-large`, `bundle-invalid` (no zip file, no job bundle, paths that lead out
 *   of it, a file twice, a zip bomb), `bundle-newer` (made by a newer version), `bundle-damaged` (cut short, files that
 *   are missing or not as listed), `json-broken`, `job-invalid`
 */
export function unpackBundle(
  bytes: Uint8Array,
  {
    where = 'the bundle',
    allowDamaged = false,
    allowDraft = false,
    limits = BUNDLE_LIMITS,
  }: UnpackOptions = {},
): UnpackedBundle {
  if (bytes.length === 0)
    throw new SprayoutError('file-empty', `${where} is empty.`, 'Copy the bundle again.');
  if (bytes.length > limits.total_bytes)
    throw new SprayoutError(
      'file-too-large',
      `${where} has ${Math.ceil(bytes.length / 1e6)} MB; ${Math.floor(limits.total_bytes / 1e6)} MB is the most that is read.`,
      'Split the job, or export its photos smaller.',
    );
  const entries = entriesByKey(zipEntries(bytes, where, limits), where);
  const list = readList(entries.get(LIST_NAME), where);
  const { files, faults } = listedFiles(list, entries);
  const jobBytes = files.get(list.job);
  if (!jobBytes)
    throw damaged(
      where,
      faults.get(list.job) ?? 'holds no job',
      'Ask for the bundle again where it was made.',
    );
  files.delete(list.job);
  const document = parseJson(strFromU8(jobBytes), `the job in ${where}`);
  const job = (allowDraft ? parseDraft : parseJob)(document, `in ${where}`);
  const warnings = unlistedWarnings(list, entries, where);
  for (const { path, photo, isNeeded } of filesOf(job)) {
    if (!isSafePath(path))
      throw invalid(where, `has a job that names ${quoted(path)}, which may lead out of the bundle`);
    if (files.has(path) || faults.has(path)) continue;
    if (isNeeded) faults.set(path, `lacks ${quoted(path)}, which photo ${photo} of the job needs`);
    else
      warnings.push({
        code: 'bundle-file-missing',
        message: `${where} goes without ${quoted(path)}; nothing is measured in photo ${photo}.`,
      });
  }
  const [first, ...others] = faults.values();
  if (first !== undefined && !allowDamaged)
    throw damaged(where, others.length === 0 ? first : `${first} (and ${others.length} more)`, HINT_DAMAGED);
  for (const fault of faults.values())
    warnings.push({ code: 'bundle-file-damaged', message: `${where} ${fault}.` });
  return { job, document, files, list, warnings };
}

/** The files by key. Throws `bundle-invalid` for a path that is not safe, and for one that is there twice. */
function entriesByKey(entries: readonly ZipEntry[], where: string): Map<string, ZipEntry> {
  const byKey = new Map<string, ZipEntry>();
  for (const entry of entries) {
    if (!isSafePath(entry.name))
      throw invalid(
        where,
        `holds a file under the name ${quoted(entry.name)}, which may lead out of the bundle`,
        'Do not open it; ask for the bundle again where it came from.',
      );
    const key = fileKey(entry.name);
    if (byKey.has(key)) throw invalid(where, `holds ${quoted(entry.name)} twice`);
    byKey.set(key, entry);
  }
  return byKey;
}

function readList(entry: ZipEntry | undefined, where: string): BundleList {
  if (!entry)
    throw invalid(
      where,
      `is a zip file, but no job bundle: it holds no ${LIST_NAME}`,
      'Make bundles with sprayout bundle, or unzip this file and name the job file in it.',
    );
  const bytes = entryBytes(entry);
  if (!bytes) throw damaged(where, `holds a damaged ${LIST_NAME}`);
  const json = parseJson(strFromU8(bytes), `${LIST_NAME} in ${where}`);
  const format = (json as { readonly format?: unknown } | null)?.format;
  const version = /^sprayout-bundle\/([1-9]\d*)$/.exec(typeof format === 'string' ? format : '')?.[1];
  if (version !== undefined && format !== BUNDLE_FORMAT)
    throw new SprayoutError(
      'bundle-newer',
      `${where} was made by a newer version of sprayout (bundle format ${version.slice(0, 9)}; this one reads 1).`,
      'Update sprayout, then open the bundle again.',
    );
  const parsed = bundleSchema.safeParse(json);
  if (!parsed.success) {
    const { at, what } = schemaIssue(parsed.error.issues);
    throw invalid(where, `has a wrong ${LIST_NAME}: ${at} ${what}`);
  }
  checkListedNames(parsed.data, where);
  return parsed.data;
}

function checkListedNames({ job, job_file, files }: BundleList, where: string): void {
  const seen = new Set<string>();
  for (const path of [...files.map((f) => f.path), job_file])
    if (!isSafePath(path)) throw invalid(where, `lists ${quoted(path)}, which may lead out of the bundle`);
  if (job_file.includes('/')) throw invalid(where, `gives the job the name ${quoted(job_file)}`);
  for (const { path } of files) {
    const key = fileKey(path);
    if (seen.has(key) || key === LIST_NAME) throw invalid(where, `lists ${quoted(path)} twice`);
    seen.add(key);
  }
  if (!files.some((f) => f.path === job)) throw invalid(where, `does not list its job, ${quoted(job)}`);
}

interface Listed {
  readonly files: Map<string, Uint8Array>;
  /** By path, what is wrong with a file that is listed; the end of a sentence. */
  readonly faults: Map<string, string>;
}

function listedFiles({ files: listed }: BundleList, entries: ReadonlyMap<string, ZipEntry>): Listed {
  const files = new Map<string, Uint8Array>();
  const faults = new Map<string, string>();
  for (const { path, bytes: size, sha256: digest } of listed) {
    const entry = entries.get(fileKey(path));
    const bytes = entry && entry.bytes === size ? entryBytes(entry) : undefined;
    if (bytes && bytesToHex(sha256(bytes)) === digest) files.set(path, bytes);
    else
      faults.set(
        path,
        entry ? `holds a damaged ${quoted(path)}: it is not what was packed` : `lacks ${quoted(path)}`,
      );
  }
  return { files, faults };
}

function unlistedWarnings(
  list: BundleList,
  entries: ReadonlyMap<string, ZipEntry>,
  where: string,
): Warning[] {
  const known = new Set([LIST_NAME, ...list.files.map((f) => fileKey(f.path))]);
  const unlisted = [...entries].flatMap(([key, { name }]) => (known.has(key) ? [] : [name]));
  if (unlisted.length === 0) return [];
  const names = unlisted.slice(0, 3).map(quoted).join(', ');
  const more = unlisted.length > 3 ? ` and ${unlisted.length - 3} more` : '';
  return [
    {
      code: 'bundle-unlisted',
      message: `${where} also holds ${names}${more}, which it does not list: left out.`,
    },
  ];
}

function filesOf(job: Job): { path: string; photo: string; isNeeded: boolean }[] {
  const needed = photosWithPlaces(job);
  return job.photos.flatMap(({ id, file, card }) =>
    (card === undefined ? [file] : [file, card]).map((path) => ({
      path,
      photo: id,
      isNeeded: needed.has(id),
    })),
  );
}
