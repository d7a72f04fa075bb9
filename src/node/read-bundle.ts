import { open } from 'node:fs/promises';
import { SprayoutError } from '../core/errors.ts';
import { BUNDLE_LIMITS, type UnpackedBundle, unpackBundle } from '../core/job/bundle/index.ts';
import { fileError } from './file-error.ts';
import { plainFileSize, readPlainFile } from './plain-file.ts';

/** How a zip file begins, and one without files (.ZIP File Format Specification, 4.3.7 and 4.3.16). */
const BEGINNINGS = ['PK\u0003\u0004', 'PK\u0005\u0006'];

/** Whether a path names a zip file, by its first bytes or its name. Throws what opening a file throws. */
export async function isBundle(path: string): Promise<boolean> {
  if (/\.zip$/i.test(path)) return true;
  try {
    // opening a pipe that nobody writes to would wait for ever
    await plainFileSize(path);
    const file = await open(path);
    try {
      const { buffer, bytesRead } = await file.read(Buffer.alloc(4), 0, 4, 0);
      return BEGINNINGS.includes(buffer.toString('latin1', 0, bytesRead));
    } finally {
      await file.close();
    }
  } catch (error) {
    throw fileError(error, path) ?? error;
  }
}

/** Reads a job bundle into memory. Throws what opening a file throws, and what `unpackBundle` throws. */
export async function readBundle(
  path: string,
  { allowDamaged = false }: { readonly allowDamaged?: boolean | undefined } = {},
): Promise<UnpackedBundle> {
  return unpackBundle(await readBytes(path), { where: path, allowDamaged });
}

async function readBytes(path: string): Promise<Uint8Array> {
  try {
    return await readPlainFile(
      path,
      BUNDLE_LIMITS.total_bytes,
      (size) =>
        new SprayoutError(
          'file-too-large',
          `${path} has ${Math.round(size / 1e6)} MB; ${BUNDLE_LIMITS.total_bytes / 1e6} MB is the most that is read.`,
          'Split the job, or export its photos smaller.',
        ),
    );
  } catch (error) {
    throw fileError(error, path) ?? error;
  }
}
