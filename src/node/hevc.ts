/** The HEVC decoder of `decoders/hevc`. */
import { readFile } from 'node:fs/promises';
import { join } from 'node:path';
import { HEVC_IMPORTS, type HevcParts } from '../core/photo/heif/hevc.ts';
import { packageRoot } from './package-root.ts';

/** Undefined where its file is missing or this machine cannot run it. */
export async function compileHevc(): Promise<WebAssembly.Module | undefined> {
  try {
    return await WebAssembly.compile(await readFile(join(packageRoot(), 'decoders/hevc/hevc.wasm')));
  } catch {
    return undefined;
  }
}

/** A decoder with memory of its own. */
export function hevcOf(decoder: WebAssembly.Module): HevcParts {
  const hevc = new WebAssembly.Instance(decoder, HEVC_IMPORTS).exports as unknown as HevcParts;
  hevc._initialize();
  return hevc;
}
