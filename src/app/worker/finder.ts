/** The trained panel finder in the worker: runtime and network are fetched when panels are first looked for. */

import wasmUrl from 'onnxruntime-web/ort-wasm-simd-threaded.wasm?url';
import modelUrl from '../../../calibration/finder/panel-finder.onnx?url';
import type { PlacedCard } from '../../core/card/types.ts';
import { findPanels } from '../../core/panel/index.ts';
import {
  outlinePanels,
  type PanelMaps,
  pictureForFinder,
  type Segment,
} from '../../core/panel/outline/index.ts';
import { FINDER_MISSING } from '../../core/panel/outline/missing.ts';
import type { Raster } from '../../core/photo/types.ts';
import type { FoundPanels } from './protocol.ts';

/** Panels found by the network and the plain finder together; by the plain one alone, and saying so, where it must. */
export async function panelsIn(raster: Raster, cards: readonly PlacedCard[]): Promise<FoundPanels> {
  const maps = await panelMaps(raster);
  const plain = findPanels(raster, cards);
  const panels = maps ? outlinePanels(raster, cards, maps, plain) : plain;
  return {
    panels: panels.map(({ id, corners_px }) => ({ id, corners_px })),
    warnings: maps ? [] : [FINDER_MISSING],
  };
}

let loading: Promise<Segment | undefined> | undefined;

/**
 * The network's maps of a photo. Undefined when the runtime or the network can't be loaded (an old browser, a file
 * that is missing): panels are then found without it.
 */
async function panelMaps(raster: Raster): Promise<PanelMaps | undefined> {
  loading ??= load().catch(() => undefined);
  const segment = await loading;
  // a failure is not for ever: the next photo tries again
  if (!segment) loading = undefined;
  return segment?.(pictureForFinder(raster)).catch(() => undefined);
}

/** More threads than this gain nothing on a picture so small. */
const MOST_THREADS = 4;

async function load(): Promise<Segment> {
  const [{ env, InferenceSession, Tensor }, model] = await Promise.all([
    import('onnxruntime-web/wasm'),
    fetch(modelUrl),
  ]);
  if (!model.ok) throw new Error(`the panel finder's network could not be fetched: ${model.status}`);
  env.logLevel = 'error';
  env.wasm.wasmPaths = { wasm: wasmUrl };
  // threads share memory, which browsers allow to isolated pages only
  env.wasm.numThreads = globalThis.crossOriginIsolated
    ? Math.min(MOST_THREADS, navigator.hardwareConcurrency)
    : 1;
  const session = await InferenceSession.create(new Uint8Array(await model.arrayBuffer()), {
    executionProviders: ['wasm'],
  });
  return async ({ width, height, planes }) => {
    const { maps } = await session.run({ picture: new Tensor('float32', planes, [1, 3, height, width]) });
    return { width: maps.dims[3], height: maps.dims[2], planes: maps.data as Float32Array };
  };
}
