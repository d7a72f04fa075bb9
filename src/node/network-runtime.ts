/** What runs the panel finder's network in Node: the machine's own runtime where it is installed, else WebAssembly. */
import { setFlagsFromString } from 'node:v8';
import type * as Runtime from 'onnxruntime-web';

type Session = Runtime.InferenceSession;

/** Makes the network in `bytes` ready, and gives what runs it and the kind of tensor that it takes. */
export type NetworkRuntime = (
  bytes: Uint8Array,
) => Promise<{ readonly session: Session; readonly Tensor: typeof Runtime.Tensor }>;

const ONE_THREAD = { intraOpNumThreads: 1, interOpNumThreads: 1 } as const;

/**
 * Ready in .1 s. Throws where the package, which is optional, or its build for this kind of machine is missing. The runtime would
 * keep a number for the machine, count what is done and send that to its maker; nothing leaves this machine, so it is told not to.
 */
export const nativeRuntime: NetworkRuntime = async (bytes) => {
  process.env.ORT_DISABLE_TELEMETRY = '1';
  const { InferenceSession, Tensor } = await import('onnxruntime-node');
  // laying the network out for this machine's vectors takes 5 ms, and halves the 60 that a photo takes
  return {
    session: await InferenceSession.create(bytes, { ...ONE_THREAD, graphOptimizationLevel: 'all' }),
    Tensor,
  };
};

/** Ready in half a second, on any machine. */
export const wasmRuntime: NetworkRuntime = async (bytes) => {
  // The optimising compiler would be at the runtime's 14 MB for longer than the network takes for several photos, and
  // a process ends only when its compiler has.
  setFlagsFromString('--liftoff-only');
  const { env, InferenceSession, Tensor } = await import('onnxruntime-web');
  env.wasm.numThreads = 1;
  env.logLevel = 'error';
  // there is little to optimise here, and looking for it takes longer than is saved
  const session = await InferenceSession.create(bytes, {
    ...ONE_THREAD,
    graphOptimizationLevel: 'disabled',
    executionProviders: ['wasm'],
  });
  return { session, Tensor };
};

export const fastestRuntime: NetworkRuntime = (bytes) => nativeRuntime(bytes).catch(() => wasmRuntime(bytes));
