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
/** While a question is open the worker is asked this often whether it lives, ms. */
const BEAT_MS = 2000;
/** So many beats unanswered and it hangs: no one step of its work takes a slow phone a minute and a half. */
const MOST_SILENT_BEATS = 45;

let running: Running | undefined;
let brokeAt = Number.NEGATIVE_INFINITY;
/** It ended by itself, or it no longer answers. */
export type WhyBroken = 'broken' | 'hanging';

type BrokenListener = (isRepeated: boolean, why: WhyBroken) => void;

const broken = new Set<BrokenListener>();

/** The worker, started if need be. A question fails when the worker breaks or is stopped before it has answered. */
export function bench(): Bench {
  if (!running) {
    const worker = new Worker(new URL('./bench.ts', import.meta.url), { type: 'module', name: 'bench' });
    worker.addEventListener('error', () => giveUp(worker, 'broken'));
    running = started(worker);
  }
  return running.bench;
}

/** The worker broke or hangs: it is ended, its questions fail, and who listens may ask anew. */
function giveUp(worker: Worker, why: WhyBroken): void {
  if (running?.worker !== worker) return;
  stopBench();
  const now = performance.now();
  const isRepeated = now - brokeAt < SOON_MS;
  brokeAt = now;
  for (const listener of broken) listener(isRepeated, why);
}

function started(worker: Worker): Running {
  const open = new Set<(why: Error) => void>();
  const remote = Comlink.wrap<BenchApi>(worker);
  // beats are counted, not time: a device that slept has not waited
  let silent = 0;
  let timer: ReturnType<typeof setInterval> | undefined;
  const beat = (): void => {
    if (running?.worker !== worker || open.size === 0) {
      clearInterval(timer);
      timer = undefined;
      return;
    }
    if (++silent > MOST_SILENT_BEATS) {
      clearInterval(timer);
      giveUp(worker, 'hanging');
    } else
      remote.beat().then(
        () => {
          silent = 0;
        },
        () => {}, // an error of the worker is told by itself
      );
  };
  const watch = (): void => {
    if (timer !== undefined) return;
    silent = 0;
    timer = setInterval(beat, BEAT_MS);
  };
  const asking = (name: string | symbol) => {
    const ask = Reflect.get(remote, name) as (...args: unknown[]) => Promise<unknown>;
    return (...args: unknown[]) =>
      new Promise((resolve, reject) => {
        open.add(reject);
        watch();
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

/** Calls back when the worker broke or hung; `isRepeated` when it had shortly before. */
export function onBenchBroken(listener: BrokenListener): () => void {
  broken.add(listener);
  return () => broken.delete(listener);
}

/** A callback the worker may call. */
export const callback = Comlink.proxy;
