/** A worker beside the worker: the panel finder's runtime and network, so that loading them holds up no photo. */
import * as Comlink from 'comlink';
import wasmUrl from 'onnxruntime-web/ort-wasm-simd-threaded.wasm?url';
import type { PanelMaps, Segment } from '../../core/panel/outline/maps.ts';

/** More threads than this gain nothing on a picture so small. */
const MOST_THREADS = 4;

/** Side of the scrap that the network is tried on; its layers halve a picture a few times. */
const SCRAP_PX = 64;

let loading: Promise<Segment> | undefined;

async function load(model: Uint8Array): Promise<Segment> {
  const { env, InferenceSession, Tensor } = await import('onnxruntime-web/wasm');
  env.logLevel = 'error';
  env.wasm.wasmPaths = { wasm: wasmUrl };
  // threads share memory, which browsers allow to isolated pages only
  env.wasm.numThreads = globalThis.crossOriginIsolated
    ? Math.min(MOST_THREADS, navigator.hardwareConcurrency)
    : 1;
  // there is little to optimise in the network, and looking for it takes longer than is saved
  const session = await InferenceSession.create(model, {
    executionProviders: ['wasm'],
    graphOptimizationLevel: 'disabled',
  });
  const segment: Segment = async ({ width, height, planes }) => {
    const { maps } = await session.run({ picture: new Tensor('float32', planes, [1, 3, height, width]) });
    return { width: maps.dims[3], height: maps.dims[2], planes: maps.data as Float32Array };
  };
  // functions are compiled when they are first run: on a scrap, before the photo comes
  await segment({ width: SCRAP_PX, height: SCRAP_PX, planes: new Float32Array(3 * SCRAP_PX ** 2) });
  return segment;
}

const api = {
  /** Called once, first. Rejects when the runtime can't be had or the network's file is broken. */
  async load(model: Uint8Array): Promise<void> {
    loading = load(model);
    await loading;
  },
  async segment(picture: Parameters<Segment>[0]): Promise<PanelMaps> {
    if (!loading) throw new Error('the network is not loaded');
    return (await loading)(picture);
  },
};

export type FinderNetwork = typeof api;

Comlink.expose(api);
