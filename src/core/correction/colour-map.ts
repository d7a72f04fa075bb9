/**
 * The map from readings relative to paper to XYZ: a root polynomial of degree 2 (Finlayson, Mackiewicz and
 * Hurlbert, IEEE Trans. Image Process. 24, 2015) trained on virtual panels seen through the fitted camera, plus
 * their kernel-smoothed relative residual.
 */
import { WASM } from '../../../compiled/colour-map/wasm.ts';
import { memoryFrom, startCompiled } from '../compiled.ts';

const TERMS = 6;
const LOG_OFFSET = 0.004;

/** Training readings and XYZ of m things, row-major m × 3. */
export interface Training {
  readonly count: number;
  readonly readings: Float64Array;
  readonly xyz: Float64Array;
  readonly weights: Float64Array;
}

/** Root-polynomial terms of one reading, written to `out` at `at`. A reading below nothing counts as nothing. */
function rootTerms(r: number, g: number, b: number, out: Float64Array, at: number): void {
  const x = Math.max(r, 0);
  const y = Math.max(g, 0);
  const z = Math.max(b, 0);
  out[at] = r;
  out[at + 1] = g;
  out[at + 2] = b;
  out[at + 3] = Math.sqrt(x * y);
  out[at + 4] = Math.sqrt(y * z);
  out[at + 5] = Math.sqrt(x * z);
}

/** Weights Y^(−2/3) of training things: dark colours count as much as light ones. */
export function lightnessWeights(xyz: Float64Array): Float64Array {
  return Float64Array.from({ length: xyz.length / 3 }, (_, j) => Math.cbrt(xyz[3 * j + 1] + 0.002) ** -2);
}

/**
 * Coefficients, 3 × 6 row-major, by least squares under the training's weights. Throws RangeError when there are none.
 */
export function trainPolynomial({ count, readings, xyz, weights }: Training): Float64Array {
  const { code, write, room, views } = mapMemory();
  const at = {
    readings: write(readings),
    xyz: write(xyz),
    weights: write(weights),
    out: room(3 * TERMS),
    work: room(code.workNumbers()),
  };
  const numbers = views();
  untrainable(code.train(count, at.readings, at.xyz, at.weights, at.out, at.work));
  return numbers(at.out, 3 * TERMS);
}

/** How the coefficients change with each mode of `raw` readings, when `step` times the mode is added and nothing falls below `floor`. */
export function polynomialSlopes(
  { count, xyz, weights }: Omit<Training, 'readings'>,
  polynomial: Float64Array,
  raw: Float64Array,
  modes: readonly Float64Array[],
  step: number,
  floor: number,
): Float64Array[] {
  const { code, write, room, views } = mapMemory();
  const at = {
    raw: write(raw),
    modes: write(...modes),
    readings: room(raw.length),
    xyz: write(xyz),
    weights: write(weights),
    from: write(polynomial),
    out: room(3 * TERMS * modes.length),
    work: room(code.workNumbers()),
  };
  const numbers = views();
  untrainable(
    code.findSlopes(
      count,
      at.raw,
      at.modes,
      modes.length,
      step,
      floor,
      at.readings,
      at.xyz,
      at.weights,
      at.from,
      at.out,
      at.work,
    ),
  );
  return modes.map((_, m) => numbers(at.out + 8 * 3 * TERMS * m, 3 * TERMS));
}

function untrainable(isTrained: number): void {
  if (isTrained !== 1) throw new RangeError('no polynomial maps these readings');
}

/** What `compiled/colour-map/index.ts` exports; the same names tell more there. 1 stands for true. */
interface MapCode {
  readonly memory: WebAssembly.Memory;
  firstFree(): number;
  workNumbers(): number;
  train(count: number, readings: number, xyz: number, weights: number, out: number, work: number): number;
  findSlopes(
    count: number,
    raw: number,
    modes: number,
    modeCount: number,
    step: number,
    floor: number,
    readings: number,
    xyz: number,
    weights: number,
    from: number,
    out: number,
    work: number,
  ): number;
  weighNeighbours(
    count: number,
    places: number,
    x: number,
    y: number,
    z: number,
    width: number,
    out: number,
    squares: number,
  ): void;
}

let code: MapCode | undefined;

interface MapMemory {
  readonly code: MapCode;
  /** Where numbers will stand, one array behind the other. */
  readonly write: (...arrays: readonly Float64Array[]) => number;
  /** Where so many numbers will have room. */
  readonly room: (count: number) => number;
  /** To be called when all is placed: writes it, and gives copies of what stands at a place. */
  readonly views: () => (from: number, count: number) => Float64Array;
}

/** The memory of the compiled loops, to be laid out anew. */
function mapMemory(): MapMemory {
  code ??= startCompiled<MapCode>(WASM);
  const { memory, firstFree } = code;
  const { place, grow } = memoryFrom(firstFree());
  const written: [to: number, values: Float64Array][] = [];
  return {
    code,
    write(...arrays) {
      const first = place(arrays.reduce((sum, values) => sum + values.byteLength, 0));
      let to = first;
      for (const values of arrays) {
        written.push([to, values]);
        to += values.byteLength;
      }
      return first;
    },
    room: (count) => place(8 * count),
    views() {
      const buffer = grow(memory);
      for (const [to, values] of written) new Float64Array(buffer, to, values.length).set(values);
      return (from, count) => new Float64Array(buffer, from, count).slice();
    },
  };
}

/** XYZ of one reading by the polynomial, written to `out` at `at`. */
export function applyPolynomial(
  m: Float64Array,
  r: number,
  g: number,
  b: number,
  out: Float64Array,
  at: number,
): void {
  rootTerms(r, g, b, scratch, 0);
  for (let c = 0; c < 3; c++) {
    let s = 0;
    for (let k = 0; k < TERMS; k++) s += m[c * TERMS + k] * scratch[k];
    out[at + c] = s;
  }
}
const scratch = new Float64Array(TERMS);

/** ln(reading + .004) of m readings: the space in which neighbours are near. */
export function logReadings(readings: Float64Array): Float64Array {
  return readings.map((v) => Math.log(Math.max(v, 0) + LOG_OFFSET));
}

/** Weights (sum 1) of the training things about one reading: Gaussian in log reading, widened until it holds enough. */
export function neighbourWeights(
  logTraining: Float64Array,
  reading: ArrayLike<number>,
  width: number,
): Float64Array {
  const count = logTraining.length / 3;
  const [x, y, z] = [0, 1, 2].map((c) => Math.log(Math.max(reading[c], 0) + LOG_OFFSET));
  const { code, write, room, views } = mapMemory();
  const at = { places: write(logTraining), out: room(count), squares: room(count) };
  const numbers = views();
  code.weighNeighbours(count, at.places, x, y, z, width, at.out, at.squares);
  return numbers(at.out, count);
}

/** Relative residuals of the training things, (true − mapped) / mapped, m × 3. */
export function relativeResiduals(training: Omit<Training, 'weights'>, m: Float64Array): Float64Array {
  const out = new Float64Array(3 * training.count);
  for (let j = 0; j < training.count; j++) {
    const at = 3 * j;
    const r = training.readings;
    applyPolynomial(m, r[at], r[at + 1], r[at + 2], out, at);
    for (let c = 0; c < 3; c++) {
      const mapped = Math.max(out[at + c], 1e-4);
      out[at + c] = Math.max(-0.8, Math.min(2, (training.xyz[at + c] - out[at + c]) / mapped));
    }
  }
  return out;
}
