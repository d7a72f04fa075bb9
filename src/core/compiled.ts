import type { CompiledMemory } from './compiled-memory.ts';
import { SprayoutError } from './errors.ts';

/** Modules of `compiled` that are kept in base64. Undefined where this machine cannot run one. */
export function compiledModule(text: string): WebAssembly.Module | undefined {
  const binary = atob(text);
  const bytes = new Uint8Array(binary.length);
  for (let i = 0; i < bytes.length; i++) bytes[i] = binary.charCodeAt(i);
  return WebAssembly.validate(bytes) ? new WebAssembly.Module(bytes) : undefined;
}

/**
 * The exports of such a module, begun; what it asks for of `Math` is the engine's own.
 *
 * @throws SprayoutError `internal` where this machine cannot run it
 */
export function startCompiled<Code>(text: string): Code {
  const module = compiledModule(text);
  if (!module)
    throw new SprayoutError(
      'internal',
      'This browser cannot run WebAssembly, which reads the photos.',
      'Use a current browser, and allow WebAssembly where it is switched off.',
    );
  return new WebAssembly.Instance(module, { math: Math as unknown as WebAssembly.ModuleImports })
    .exports as Code;
}

const PAGE_BYTES = 65536;

interface Placing {
  /** Where so many bytes will stand. */
  readonly place: (bytes: number) => number;
  /** Grows a memory until all of it is there. */
  readonly grow: (memory: CompiledMemory) => ArrayBuffer;
}

/** Lays out a memory, one thing behind the other, from its first free place on. */
export function memoryFrom(firstFree: number): Placing {
  let end = firstFree;
  return {
    place(bytes) {
      const at = (end + 15) & ~15;
      end = at + bytes;
      return at;
    },
    grow(memory) {
      memory.grow(Math.max(0, Math.ceil((end - memory.buffer.byteLength) / PAGE_BYTES)));
      return memory.buffer;
    },
  };
}
