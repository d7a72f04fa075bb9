/** Transfer curves of ICC profiles: encoded value 0–1 to linear light 0–1. */
export type TransferCurve = (encoded: number) => number;

/** sRGB's curve (IEC 61966-2-1). */
export const srgbCurve: TransferCurve = (v) => (v <= 0.04045 ? v / 12.92 : ((v + 0.055) / 1.055) ** 2.4);

/** Number of parameters of each ICC parametric function type (ICC.1:2022, table 68). */
const PARAMETER_COUNT = [1, 3, 4, 5, 7] as const;

/**
 * The curve of a `curv` or `para` tag that starts at `at` (ICC.1:2022, 10.6 and 10.18).
 * Throws RangeError when the tag is neither, or reaches beyond the profile.
 */
export function transferCurveAt(profile: DataView, at: number): TransferCurve {
  const kind = profile.getUint32(at);
  if (kind === 0x63757276) return sampledCurve(profile, at);
  if (kind === 0x70617261) return parametricCurve(profile, at);
  throw new RangeError('the transfer curve is of a kind that matrix profiles do not have');
}

function sampledCurve(profile: DataView, at: number): TransferCurve {
  const count = profile.getUint32(at + 8);
  if (count === 0) return (v) => v;
  if (count === 1) {
    const gamma = profile.getUint16(at + 12) / 256;
    return (v) => v ** gamma;
  }
  if (at + 12 + 2 * count > profile.byteLength) throw new RangeError('the transfer curve is cut short');
  const samples = Float64Array.from({ length: count }, (_, i) => profile.getUint16(at + 12 + 2 * i) / 65535);
  return (v) => {
    const x = v * (count - 1);
    const below = Math.min(count - 2, Math.floor(x));
    return samples[below] + (x - below) * (samples[below + 1] - samples[below]);
  };
}

function parametricCurve(profile: DataView, at: number): TransferCurve {
  const type = profile.getUint16(at + 8);
  const count = PARAMETER_COUNT[type];
  if (count === undefined) throw new RangeError(`parametric transfer curve of unknown type ${type}`);
  const p = Array.from({ length: count }, (_, i) => profile.getInt32(at + 12 + 4 * i) / 65536);
  const [g, a = 1, b = 0] = p;
  const power = (v: number): number => Math.max(0, a * v + b) ** g;
  switch (type) {
    case 0:
      return power;
    case 1:
      return (v) => (v >= -b / a ? power(v) : 0);
    case 2:
      return (v) => (v >= -b / a ? power(v) : 0) + p[3];
    case 3:
      return (v) => (v >= p[4] ? power(v) : p[3] * v);
    default:
      return (v) => (v >= p[4] ? power(v) + p[5] : p[3] * v + p[6]);
  }
}

/** A curve as a table over every encoded value of 8 or 16 bit. Throws RangeError unless it rises and is finite. */
export function decodeTable(curve: TransferCurve, bits: 8 | 16): Float32Array {
  const size = bits === 8 ? 256 : 65536;
  const table = new Float32Array(size);
  for (let i = 0; i < size; i++) {
    table[i] = curve(i / (size - 1));
    if (!Number.isFinite(table[i])) throw new RangeError('the transfer curve is not finite');
    if (i > 0 && table[i] < table[i - 1] - 1e-4) throw new RangeError('the transfer curve falls');
  }
  if (!(table[size - 1] - table[0] > 0.5)) throw new RangeError('the transfer curve is flat');
  return table;
}

/** Whether a decode table says that values are proportional to light. */
export function isLinearTable(table: Float32Array): boolean {
  const top = table.length - 1;
  return table.every((value, i) => Math.abs(value - i / top) < 1e-3);
}
