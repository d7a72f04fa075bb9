import { type Lab, labFromXyz, viewing, type Xyz, xyzFromLab, xyzFromReflectance } from '../color/index.ts';
import { printReflectance } from './print-model.ts';

/** sRGB values 0–255 as sent to the printer. */
export type DeviceRgb = readonly [number, number, number];

const D50 = viewing('D50/2');
const PAPER_XYZ = xyzFromReflectance(printReflectance([0, 0, 0, 0]), D50);
const BLACK_XYZ = xyzFromReflectance(printReflectance([0.52, 0.4, 0.46, 1]), D50);

/** XYZ under D50 to linear sRGB (IEC 61966-2-1 primaries, Bradford-adapted as in ICC.1:2022). */
const TO_LINEAR = [
  [3.1338561, -1.6168667, -0.4906146],
  [-0.9787684, 1.9161415, 0.033454],
  [0.0719453, -0.2289914, 1.4052427],
] as const;

/** sRGB's transfer curve (IEC 61966-2-1), 0–1, odd about 0. */
function encode(linear: number): number {
  const v = Math.abs(linear);
  return Math.sign(linear) * (v <= 0.0031308 ? 12.92 * v : 1.055 * v ** (1 / 2.4) - 0.055);
}

function linearRgb(xyz: Xyz): number[] {
  const relative = xyz.map((v, i) => ((v - BLACK_XYZ[i]) / (PAPER_XYZ[i] - BLACK_XYZ[i])) * D50.white[i]);
  return TO_LINEAR.map((row) => row[0] * relative[0] + row[1] * relative[1] + row[2] * relative[2]);
}

function isInGamut(xyz: Xyz): boolean {
  return linearRgb(xyz).every((v) => v > -0.002 && v < 1.02);
}

/**
 * The sRGB value that asks a printer for a colour: media-relative colorimetric with black point compensation
 * (ISO 15076-1, ISO 18619), paper and blackest print as in the print model, so that 255 is bare paper and 0 the
 * blackest print. A colour outside sRGB loses chroma at its own lightness and hue.
 */
export function deviceRgbFromXyz(xyz: Xyz): DeviceRgb {
  const lab = labFromXyz(xyz, D50.white);
  const scaled = (part: number): Xyz => xyzFromLab([lab[0], lab[1] * part, lab[2] * part], D50.white);
  let part = 1;
  if (!isInGamut(xyz)) {
    let outside = 1;
    part = 0;
    for (let i = 0; i < 12; i++) {
      const middle = (part + outside) / 2;
      if (isInGamut(scaled(middle))) part = middle;
      else outside = middle;
    }
  }
  const [r, g, b] = linearRgb(scaled(part)).map((v) => Math.round(255 * Math.min(1, Math.max(0, encode(v)))));
  return [r, g, b];
}

/** As `deviceRgbFromXyz`, from CIELAB of any white, taken as seen by an eye adapted to it. */
export function deviceRgbFromLab(lab: Lab): DeviceRgb {
  return deviceRgbFromXyz(xyzFromLab(lab, D50.white));
}
