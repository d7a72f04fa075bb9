import { WASM } from '../../../../compiled/jpeg-rounding/wasm.ts';
import { compiledModule, memoryFrom } from '../../compiled.ts';
import type { Frame } from './frame.ts';

/** What `compiled/jpeg-rounding/index.ts` exports; the same names tell more there. */
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
  /** 1 for true. */
  readUnits(count: number): number;
}

/** Behind a table of codes: room for one of the short ones. */
const SHORT_CODES_BYTES = 2048;

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

  const { place, grow } = memoryFrom(compiled.firstFree());
  const tables = new Map<Table, number>();
  /** Where a table will stand, with so many bytes of room behind it; the same table stands once. */
  const placed = (values: Table, behind_bytes = 0): number => {
    const at = tables.get(values) ?? place(values.byteLength + behind_bytes);
    tables.set(values, at);
    return at;
  };
  const addresses = components.flatMap(({ dc, ac, steps }) => [
    placed(dc, SHORT_CODES_BYTES),
    placed(ac, SHORT_CODES_BYTES),
    placed(steps),
  ]);
  const listed = placed(Uint32Array.from(addresses));
  const waves = placed(wavesOf());
  const restarts = place(4 * mostRestarts);
  const count = 3 * units * across * down;
  const offsets = place(count);
  const at = placed(scan, compiled.roomBehind());
  const bytes = new Uint8Array(grow(compiled.memory));
  for (const [values, to] of tables)
    bytes.set(new Uint8Array(values.buffer, values.byteOffset, values.byteLength), to);

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
  for (let row = 0; row < unitsDown; row++) if (compiled.readUnits(unitsAcross) !== 1) return undefined;
  return new Int8Array(bytes.slice(offsets, offsets + count).buffer);
}

let module: WebAssembly.Module | undefined;

/** Code with memory of its own, which goes when the photo is read. */
function start(): Compiled | undefined {
  module ??= compiledModule(WASM);
  return module && (new WebAssembly.Instance(module).exports as unknown as Compiled);
}

type Table = Uint8Array | Uint16Array | Uint32Array | Float32Array;

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
