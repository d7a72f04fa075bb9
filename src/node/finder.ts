import { readFile } from 'node:fs/promises';
import { join } from 'node:path';
import type { PanelMaps, Segment } from '../core/panel/outline/maps.ts';
import { fastestRuntime } from './network-runtime.ts';
import { packageRoot } from './package-root.ts';

/** The trained panel finder, in the package. */
export const FINDER_FILE = 'calibration/finder/panel-finder.onnx';

/**
 * Makes the panel finder's network ready, on one thread. Undefined when its file or every runtime is missing or broken:
 * panels are then found without it.
 */
export async function loadFinder(
  path = join(packageRoot(), FINDER_FILE),
  runtime = fastestRuntime,
): Promise<Segment | undefined> {
  try {
    const { session, Tensor } = await runtime(await readFile(path));
    return async ({ width, height, planes }): Promise<PanelMaps> => {
      const { maps } = await session.run({ picture: new Tensor('float32', planes, [1, 3, height, width]) });
      return { width: maps.dims[3], height: maps.dims[2], planes: maps.data as Float32Array };
    };
  } catch {
    return undefined;
  }
}
