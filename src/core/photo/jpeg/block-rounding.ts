import { WASM } from '../../../../decoders/jpeg-rounding/wasm.ts';
import { compiledModule } from '../compiled.ts';
import type { Frame } from './frame.ts';

/** What `decoders/jpeg-rounding/index.ts` exports; the same names tell more there. */
interface Compiled {
  readonly memory: WebAssembly.Memory;
  firstFree(): number;
  roomBehind(): number;
  begin(
    scan: number,
    length: number,
    components: number,
    waves: number,
    restarts: number,
    mostRestarts: number,
    restartInterval: number,
    unitsAcross: number,
    across: number,
    down: number,
    offsets: number,
  ): void;
  readUnits(count: number): number;
}

/** Behind a table of codes: room for one of the short ones. */
const SHORT_CODES_BYTES = 2048;
const PAGE_BYTES = 65536;

/**
 * Per block of luma, row by row, three numbers: how much the decoded pixels' mean of red, green and blue lies below the
 * true one, in 64ths of a step. Undefined when the data are broken or cut short, and where this machine cannot run the
 * compiled code.
 */
export function blockRounding(frame: Frame, unitsAcross: number, unitsDown: number): Int8Array | undefined {
  const compiled = start();
  if (!compiled) return undefined;
  const { components, restartInterval, scan } = frame;
  const [{ across, down }] = components;
  const units = unitsAcross * unitsDown;
  const mostRestarts = restartInterval > 0 ? Math.ceil(units / restartInterval) : 0;

  const memory = layOut(compiled.firstFree());
  const addresses = components.flatMap(({ dc, ac, steps }) => [
    memory.table(dc, SHORT_CODES_BYTES),
    memory.table(ac, SHORT_CODES_BYTES),
    memory.table(steps),
  ]);
  const listed = memory.table(Uint32Array.from(addresses));
  const waves = memory.table(wavesOf());
  const restarts = memory.room(4 * mostRestarts);
  const count = 3 * units * across * down;
  const offsets = memory.room(count);
  const at = memory.table(scan, compiled.roomBehind());
  memory.fill(compiled.memory);

  compiled.begin(
    at,
    scan.length,
    listed,
    waves,
    restarts,
    mostRestarts,
    restartInterval,
    unitsAcross,
    across,
    down,
    offsets,
  );
  for (let row = 0; row < unitsDown; row++) if (compiled.readUnits(unitsAcross) > 0) return undefined;
  return new Int8Array(compiled.memory.buffer.slice(offsets, offsets + count));
}

let module: WebAssembly.Module | undefined;

/** Code with memory of its own, which goes when the photo is read. */
function start(): Compiled | undefined {
  module ??= compiledModule(WASM);
  return module && (new WebAssembly.Instance(module).exports as unknown as Compiled);
}

interface Layout {
  /** Where a table will stand, with so many bytes of room behind it; the same table stands once. */
  table(values: Table, behind_bytes?: number): number;
  room(bytes: number): number;
  /** Grows the memory and writes the tables. */
  fill(memory: WebAssembly.Memory): void;
}

type Table = Uint8Array | Uint16Array | Uint32Array | Float32Array;

function layOut(firstFree: number): Layout {
  const tables = new Map<Table, number>();
  let end = firstFree;
  const room = (bytes: number): number => {
    const at = (end + 15) & ~15;
    end = at + bytes;
    return at;
  };
  return {
    room,
    table(values, behind_bytes = 0) {
      let at = tables.get(values);
      if (at === undefined) {
        at = room(values.byteLength + behind_bytes);
        tables.set(values, at);
      }
      return at;
    },
    fill(memory) {
      memory.grow(Math.max(0, Math.ceil((end - memory.buffer.byteLength) / PAGE_BYTES)));
      const bytes = new Uint8Array(memory.buffer);
      for (const [values, at] of tables)
        bytes.set(new Uint8Array(values.buffer, values.byteOffset, values.byteLength), at);
    },
  };
}

/** Per coefficient in zigzag order (ITU-T T.81, figure A.6), its picture over the 64 pixels of a block (A.3.3). */
function wavesOf(): Float32Array {
  const along = Array.from({ length: 8 }, (_, k) =>
    Float64Array.from(
      { length: 8 },
      (_, i) => Math.cos(((2 * i + 1) * k * Math.PI) / 16) * (k === 0 ? Math.SQRT1_2 : 1),
    ),
  );
  const waves = new Float32Array(4096);
  let at = 0;
  for (let diagonal = 0; diagonal < 15; diagonal++)
    for (let k = Math.max(0, diagonal - 7); k <= Math.min(7, diagonal); k++) {
      const [u, v] = diagonal % 2 === 0 ? [k, diagonal - k] : [diagonal - k, k];
      for (let y = 0; y < 8; y++) for (let x = 0; x < 8; x++) waves[at++] = 0.25 * along[u][x] * along[v][y];
    }
  return waves;
}
