import { readFile } from 'node:fs/promises';
import { join } from 'node:path';
import type { PanelMaps, Segment } from '../core/panel/outline/maps.ts';
import { packageRoot } from './package-root.ts';

/** The trained panel finder, in the package. */
export const FINDER_FILE = 'calibration/finder/panel-finder.onnx';

/**
 * Loads the panel finder's network on one thread of WebAssembly. Undefined when its file or the runtime is missing or
 * broken: panels are then found without it.
 */
export async function loadFinder(path = join(packageRoot(), FINDER_FILE)): Promise<Segment | undefined> {
  try {
    const [bytes, { env, InferenceSession, Tensor }] = await Promise.all([
      readFile(path),
      import('onnxruntime-web'),
    ]);
    env.wasm.numThreads = 1;
    env.logLevel = 'error';
    // there is little to optimise in the network, and looking for it takes longer than is saved
    const session = await InferenceSession.create(bytes, {
      executionProviders: ['wasm'],
      graphOptimizationLevel: 'disabled',
    });
    return async ({ width, height, planes }): Promise<PanelMaps> => {
      const { maps } = await session.run({ picture: new Tensor('float32', planes, [1, 3, height, width]) });
      return { width: maps.dims[3], height: maps.dims[2], planes: maps.data as Float32Array };
    };
  } catch {
    return undefined;
  }
}
