/** The way to the worker from the screens: starts it when first asked, and anew when it broke or was stopped. */
import * as Comlink from 'comlink';
import type { BenchApi } from './protocol.ts';

export type Bench = Comlink.Remote<BenchApi>;

interface Running {
  readonly worker: Worker;
  readonly bench: Bench;
  /** Lets every question still open fail. */
  readonly fail: (why: Error) => void;
}

/** A worker that breaks twice within so long is not started again by itself, ms. */
const SOON_MS = 60_000;

let running: Running | undefined;
let brokeAt = Number.NEGATIVE_INFINITY;
const broken = new Set<(isRepeated: boolean) => void>();

/** The worker, started if need be. A question fails when the worker breaks or is stopped before it has answered. */
export function bench(): Bench {
  if (!running) {
    const worker = new Worker(new URL('./bench.ts', import.meta.url), { type: 'module', name: 'bench' });
    worker.addEventListener('error', () => {
      if (running?.worker !== worker) return;
      stopBench();
      const now = performance.now();
      const isRepeated = now - brokeAt < SOON_MS;
      brokeAt = now;
      for (const listener of broken) listener(isRepeated);
    });
    running = started(worker);
  }
  return running.bench;
}

function started(worker: Worker): Running {
  const open = new Set<(why: Error) => void>();
  const remote = Comlink.wrap<BenchApi>(worker);
  const asking = (name: string | symbol) => {
    const ask = Reflect.get(remote, name) as (...args: unknown[]) => Promise<unknown>;
    return (...args: unknown[]) =>
      new Promise((resolve, reject) => {
        open.add(reject);
        ask(...args)
          .then(resolve, reject)
          .finally(() => open.delete(reject));
      });
  };
  return {
    worker,
    bench: new Proxy(remote, { get: (_, name) => (name === 'then' ? undefined : asking(name)) }),
    fail(why) {
      for (const reject of open) reject(why);
    },
  };
}

/** Stops whatever the worker does. The next question starts a new one, which reads the photos again. */
export function stopBench(): void {
  const stopped = running;
  running = undefined;
  stopped?.worker.terminate();
  stopped?.fail(new Error('the work was stopped'));
}

/** Calls back when the worker broke; `isRepeated` when it had broken shortly before. */
export function onBenchBroken(listener: (isRepeated: boolean) => void): () => void {
  broken.add(listener);
  return () => broken.delete(listener);
}

/** A callback the worker may call. */
export const callback = Comlink.proxy;
