import { SprayoutError } from '../../errors.ts';

/** What a bundle may hold at most, so that a small file cannot fill memory or disk when unpacked. */
export interface BundleLimits {
  readonly entries: number;
  /** Of one file, unpacked. A 16-bit TIFF of 60 megapixels has 360 MB. */
  readonly file_bytes: number;
  /** Of a JSON document: `bundle.json`, the job, a card. */
  readonly document_bytes: number;
  /** Of all files together, unpacked; also of the bundle itself. */
  readonly total_bytes: number;
  /** Unpacked to packed, of a file above `RATIO_FROM_BYTES`. DEFLATE reaches 1032, photos and job documents hardly 50. */
  readonly ratio: number;
}

export const BUNDLE_LIMITS: BundleLimits = {
  entries: 2048,
  file_bytes: 800e6,
  document_bytes: 16 * 1024 * 1024,
  total_bytes: 1.9e9,
  ratio: 200,
};

const RATIO_FROM_BYTES = 1024 * 1024;

/** Sizes of one file in a bundle. */
export interface PackedSize {
  readonly name: string;
  readonly bytes: number;
  readonly packedBytes: number;
}

/** Throws `file-too-large` when files of these sizes are more than a bundle may hold. */
export function checkSizes(files: readonly PackedSize[], where: string, limits: BundleLimits): void {
  const tooLarge = (what: string): SprayoutError =>
    new SprayoutError('file-too-large', `${where} ${what}.`, 'Split the job, or export its photos smaller.');
  if (files.length > limits.entries)
    throw tooLarge(`holds ${files.length} files; ${limits.entries} are the most that are read`);
  let total = 0;
  for (const { name, bytes, packedBytes } of files) {
    total += bytes;
    const most = name.endsWith('.json') ? limits.document_bytes : limits.file_bytes;
    if (bytes > most)
      throw tooLarge(
        `holds ${quoted(name)} with ${megabytes(bytes)}; ${megabytes(most)} is the most that is read`,
      );
    if (bytes > RATIO_FROM_BYTES && bytes > limits.ratio * packedBytes)
      throw new SprayoutError(
        'bundle-invalid',
        `${where} holds ${quoted(name)}, which would swell from ${packedBytes} to ${bytes} bytes, as no photo or job does.`,
        'Do not open it; ask for the bundle again where it came from.',
      );
  }
  if (total > limits.total_bytes)
    throw tooLarge(
      `holds ${megabytes(total)} in all; ${megabytes(limits.total_bytes)} is the most that is read`,
    );
}

/** A name from a bundle as it may stand in a message. */
export function quoted(name: string): string {
  return JSON.stringify(name.length > 80 ? `${name.slice(0, 79)}…` : name);
}

function megabytes(bytes: number): string {
  return `${Math.ceil(bytes / 1e6)} MB`;
}
