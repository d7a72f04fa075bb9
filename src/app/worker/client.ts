/** The way to the worker from the screens: starts it when first asked, and anew when it broke or was stopped. */
import * as Comlink from 'comlink';
import type { BenchApi } from './protocol.ts';

export type Bench = Comlink.Remote<BenchApi>;

let running: { readonly worker: Worker; readonly bench: Bench } | undefined;
const broken = new Set<() => void>();

/** The worker, started if need be. */
export function bench(): Bench {
  if (!running) {
    const worker = new Worker(new URL('./bench.ts', import.meta.url), { type: 'module', name: 'bench' });
    worker.addEventListener('error', () => {
      if (running?.worker !== worker) return;
      stopBench();
      for (const listener of broken) listener();
    });
    running = { worker, bench: Comlink.wrap<BenchApi>(worker) };
  }
  return running.bench;
}

/** Stops whatever the worker does. The next question starts a new one, which reads the photos again. */
export function stopBench(): void {
  running?.worker.terminate();
  running = undefined;
}

/** Calls back when the worker broke. */
export function onBenchBroken(listener: () => void): () => void {
  broken.add(listener);
  return () => broken.delete(listener);
}

/** A callback the worker may call. */
export const callback = Comlink.proxy;
