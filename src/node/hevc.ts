/** The HEVC decoder of `decoders/hevc`. */
import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { type HevcParts, startHevc } from '../core/photo/heif/hevc.ts';
import { packageRoot } from './package-root.ts';

/**
 * A decoder with memory of its own. What one thread has compiled of it serves all: the runtime knows the file's bytes
 * again. Throws where its file is missing or this machine cannot run it.
 */
export function newHevc(): HevcParts {
  const module = new WebAssembly.Module(readFileSync(join(packageRoot(), 'decoders/hevc/hevc.wasm')));
  return startHevc(module);
}
