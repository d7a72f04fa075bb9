/** CIEDE2000 on bare numbers, without allocation: what `deltaE2000` gives, for loops over many draws. */

const RAD = Math.PI / 180;
const TURN = 2 * Math.PI;
const TWENTY_FIVE_7 = 25 ** 7;

/** Share of a chroma that the blue correction and the rotation term feel: √(C⁷ / (C⁷ + 25⁷)). */
function highChroma(chroma: number): number {
  const c3 = chroma * chroma * chroma;
  const c7 = c3 * c3 * chroma;
  return Math.sqrt(c7 / (c7 + TWENTY_FIVE_7));
}

// Math.hypot guards against overflow at ten times the price
function length(a: number, b: number): number {
  return Math.sqrt(a * a + b * b);
}

function hueRadians(a: number, b: number): number {
  const h = Math.atan2(b, a);
  return h < 0 ? h + TURN : h;
}

/**
 * CIEDE2000 difference of two Lab colours, kL = kC = kH = 1, equations 2–22 of Sharma, Wu and Dalal (Color Res.
 * Appl. 30, 2005). `terms` receives ΔL′/S_L, ΔC′/S_C and ΔH′/S_H, first colour minus second.
 */
export function ciede2000(
  L1: number,
  a1: number,
  b1: number,
  L2: number,
  a2: number,
  b2: number,
  terms: Float64Array,
): number {
  const g = 1.5 - 0.5 * highChroma((length(a1, b1) + length(a2, b2)) / 2);
  const c1 = length(g * a1, b1);
  const c2 = length(g * a2, b2);
  const h1 = hueRadians(g * a1, b1);
  const h2 = hueRadians(g * a2, b2);
  let turn = h1 - h2;
  let meanHue = (h1 + h2) / 2;
  if (c1 * c2 === 0) {
    turn = 0;
    meanHue = h1 + h2;
  } else if (Math.abs(turn) > Math.PI) {
    turn += turn > 0 ? -TURN : TURN;
    meanHue += meanHue < Math.PI ? Math.PI : -Math.PI;
  }
  const meanChroma = (c1 + c2) / 2;
  const fromMiddle = ((L1 + L2) / 2 - 50) ** 2;
  const t =
    1 -
    0.17 * Math.cos(meanHue - 30 * RAD) +
    0.24 * Math.cos(2 * meanHue) +
    0.32 * Math.cos(3 * meanHue + 6 * RAD) -
    0.2 * Math.cos(4 * meanHue - 63 * RAD);
  const l = (L1 - L2) / (1 + (0.015 * fromMiddle) / Math.sqrt(20 + fromMiddle));
  const c = (c1 - c2) / (1 + 0.045 * meanChroma);
  const h = (2 * Math.sqrt(c1 * c2) * Math.sin(turn / 2)) / (1 + 0.015 * meanChroma * t);
  const fromBlue = (meanHue / RAD - 275) / 25;
  const rotation = -Math.sin(60 * RAD * Math.exp(-fromBlue * fromBlue)) * 2 * highChroma(meanChroma);
  terms[0] = l;
  terms[1] = c;
  terms[2] = h;
  return Math.sqrt(Math.max(0, l * l + c * c + h * h + rotation * c * h));
}
