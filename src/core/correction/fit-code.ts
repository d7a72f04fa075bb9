import { WASM } from '../../../compiled/card-fit/wasm.ts';
import { GRID } from '../color/index.ts';
import { memoryFrom, startCompiled } from '../compiled.ts';
import { invert3 } from '../math/linear.ts';
import { srgbCurve } from '../photo/transfer-curve.ts';
import { FLARE, gainSlope, type PatchRows } from './fit-model.ts';
import { FIELD_TERMS } from './light-field.ts';
import type { Prepared, Problem } from './prepared-patches.ts';
import type { CurvePrior } from './prior.ts';

/** What `compiled/card-fit/index.ts` exports; the same names tell more there. */
interface FitCode {
  readonly memory: WebAssembly.Memory;
  firstFree(): number;
  begin(table: number, curves: number, nodes: number, cameras: number, fields: number, prints: number): void;
  /** 1 for true. */
  step(patches: number, relative: number): number;
}

/** A problem laid out for the compiled step. */
export interface FitSteps {
  /** The unknowns: where they stand, to be moved between steps. */
  readonly theta: Float64Array;
  /** How far a step would have the unknowns go, against its sign. */
  readonly move: Float64Array;
  /** One step with so large a relative misfit. Throws RangeError when the patches and the prior leave an unknown open. */
  readonly step: (relative: number) => void;
  /** Copies of what the last step found. */
  readonly found: () => StepFound;
}

export interface StepFound {
  readonly rows: readonly PatchRows[];
  /** ln of the determinants of all patches' scatters. */
  readonly logDet: number;
  readonly information: Float64Array;
  /** Its lower Cholesky factor. */
  readonly factor: Float64Array;
}

const N = GRID.count;
/** Numbers of a row before its Jacobian. */
const ROW = 17;

let code: FitCode | undefined;

/** Lays a problem out. One at a time: the next one takes the place of this. */
export function fitSteps({ prepared, model, prior, layout, scale }: Problem): FitSteps {
  code ??= startCompiled<FitCode>(WASM);
  const { step, begin, memory, firstFree } = code;
  const camera = prior[model.sensitivity];
  const slope = gainSlope({ model });
  const { toLinearSrgb } = model;
  const constants = [
    ...toLinearSrgb,
    ...scale,
    slope.gain,
    FLARE.mean,
    slope.flare,
    ...invert3(toLinearSrgb),
  ];
  const n = layout.size;
  const curves = layout.sensitivity;
  const cameras = camera.modes.length;
  const prints = layout.size - layout.print;
  const response = curves > 0 ? responseRows(prior.curve) : [];
  const nodes = curves > 0 ? prior.curve.mean.length : 0;
  const records = prepared.map(recordOf);
  const rowLength = ROW + 3 * n;

  const { place, grow } = memoryFrom(firstFree());
  // in the order in which `begin` takes them over
  const at = {
    constants: place(8 * constants.length),
    camera: place(8 * 3 * N * (1 + cameras)),
    records: place(8 * records.reduce((sum, record) => sum + record.length, 0)),
    theta: place(8 * n),
    rows: place(8 * rowLength * prepared.length),
    information: place(8 * n * n),
    factor: place(8 * n * n),
    gradient: place(8 * n),
    room: place(8 * (3 * N + 3 * prints + 27)),
    response: place(8 * nodes * response.length),
    bent: place(8 * nodes),
  };
  const table = place(4 * Object.keys(at).length);
  const buffer = grow(memory);
  new Uint32Array(buffer, table, Object.keys(at).length).set(Object.values(at));
  new Float64Array(buffer, at.constants, constants.length).set(constants);
  [camera.mean, ...camera.modes].forEach((values, k) => {
    new Float64Array(buffer, at.camera + 8 * 3 * N * k, 3 * N).set(values);
  });
  response.forEach((row, k) => {
    new Float64Array(buffer, at.response + 8 * nodes * k, nodes).set(row);
  });
  let to = at.records;
  for (const record of records) {
    new Float64Array(buffer, to, record.length).set(record);
    to += 8 * record.length;
  }
  // another problem's unknowns may have stood here
  const theta = new Float64Array(buffer, at.theta, n).fill(0);
  begin(table, curves, nodes, cameras, FIELD_TERMS, prints);

  const numbers = (from: number, count: number): Float64Array =>
    new Float64Array(buffer, from, count).slice();
  return {
    theta,
    move: new Float64Array(buffer, at.gradient, n),
    step(relative) {
      if (step(prepared.length, relative) !== 1)
        throw new RangeError('the fit to the card is not positive definite');
    },
    found() {
      const starts = prepared.map((_, i) => at.rows + 8 * rowLength * i);
      return {
        rows: starts.map((row, i) => {
          const [weight] = new Float64Array(buffer, row, 1);
          return {
            weight,
            residual: numbers(row + 16, 3),
            through: numbers(row + 40, 3).map((v) => prepared[i].light * v),
            scatter: numbers(row + 64, 9),
            jacobian: numbers(row + 8 * ROW, 3 * n),
          };
        }),
        logDet: starts.reduce((sum, row) => sum + new Float64Array(buffer, row, 2)[1], 0),
        information: numbers(at.information, n * n),
        factor: numbers(at.factor, n * n),
      };
    },
  };
}

/** The response's modes, its mean, and ln of the decoded values, on its nodes. */
function responseRows({ mean, modes }: CurvePrior): Float64Array[] {
  const decoded = mean.map((_, i) => Math.log(Math.max(srgbCurve(i / (mean.length - 1)), LEAST_DECODED)));
  return [...modes, mean, decoded];
}
/** A channel so dark is not used. */
const LEAST_DECODED = 1e-5;

/** A patch in the order in which the compiled code reads it. */
function recordOf({ patch, light, base, byMode, places, field }: Prepared): Float64Array {
  const lit = (modes: readonly Float64Array[]): Float64Array[] => modes.map((m) => m.map((v) => light * v));
  const parts = [
    patch.linear,
    base,
    patch.noise,
    patch.usable.map(Number),
    byMode,
    places,
    ...field,
    ...lit(patch.sharedModes),
    [patch.printModes.length],
    ...lit(patch.printModes),
  ];
  const out = new Float64Array(parts.reduce((sum, part) => sum + part.length, 0));
  let at = 0;
  for (const part of parts) {
    out.set(part, at);
    at += part.length;
  }
  return out;
}
