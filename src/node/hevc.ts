/** What decodes the HEVC pictures of HEIC photos. */
import { readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { join } from 'node:path';
import { type HevcParts, startHevc } from '../core/photo/heif/hevc.ts';
import { type PlanesParts, startPlanes } from '../core/photo/heif/planes.ts';
import type { StandardCodecs } from '../core/photo/heif/standard.ts';
import { packageRoot } from './package-root.ts';

/**
 * Our own decoder, with memory of its own. What one thread has compiled of it serves all: the runtime knows the file's
 * bytes again. Throws where its file is missing or this machine cannot run it.
 */
export function newHevc(): HevcParts {
  return startHevc(moduleIn('hevc.wasm'));
}

/** What converts the planes of other decoders. Throws like `newHevc`. */
export function newPlanes(): PlanesParts {
  return startPlanes(moduleIn('planes.wasm'));
}

function moduleIn(file: string): WebAssembly.Module {
  return new WebAssembly.Module(readFileSync(join(packageRoot(), 'compiled/hevc', file)));
}

/** Native decoders, five times as fast; undefined where the package, which is optional, or its build for this machine is missing. */
export function nativeCodecs(): StandardCodecs | undefined {
  try {
    return createRequire(import.meta.url)('@napi-rs/webcodecs') as StandardCodecs;
  } catch {
    return undefined;
  }
}
