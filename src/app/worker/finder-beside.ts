/** Starts the panel finder's network in a worker of its own, in time for the first photo that it is wanted for. */
import * as Comlink from 'comlink';
import modelUrl from '../../../calibration/finder/panel-finder.onnx?url';
import type { Segment } from '../../core/panel/outline/maps.ts';
import type { FinderNetwork } from './finder-network.ts';

let starting: Promise<Segment | undefined> | undefined;

/** The network, loaded when first asked for. Undefined when it can't be had; the next call tries again. */
export function finderBeside(): Promise<Segment | undefined> {
  starting ??= start().catch(() => {
    starting = undefined;
    return undefined;
  });
  return starting;
}

async function start(): Promise<Segment> {
  const worker = new Worker(new URL('./finder-network.ts', import.meta.url), {
    type: 'module',
    name: 'panel finder',
  });
  try {
    // a worker that can't start tells nobody else
    const broken = new Promise<never>((_, reject) => {
      worker.addEventListener('error', () => {
        starting = undefined;
        reject(new Error('the panel finder broke off'));
      });
    });
    broken.catch(() => {});
    const model = await fetch(modelUrl);
    if (!model.ok) throw new Error(`the panel finder's network could not be fetched: ${model.status}`);
    const bytes = new Uint8Array(await model.arrayBuffer());
    const network = Comlink.wrap<FinderNetwork>(worker);
    await Promise.race([network.load(Comlink.transfer(bytes, [bytes.buffer])), broken]);
    return (picture) => Promise.race([network.segment(picture), broken]);
  } catch (error) {
    worker.terminate();
    throw error;
  }
}
