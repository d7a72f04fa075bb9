/** Colour of simulated panels: 5 nm spectra, 380–730 nm, summed under D50 and the 2° observer (shared tables). */
import illuminants from '../../../shared/tables/illuminants.json' with { type: 'json' };
import observers from '../../../shared/tables/observers.json' with { type: 'json' };

export type Triple = readonly [number, number, number];
export const NM: readonly number[] = Array.from({ length: 71 }, (_, i) => 380 + 5 * i);

const power = illuminants.illuminants.D50;
const bars = observers.observers['2'];
const scale = 1 / power.reduce((sum, p, i) => sum + p * bars[1][i], 0);
const white = bars.map((bar) => scale * power.reduce((sum, p, i) => sum + p * bar[i], 0));

function response(t: number): number {
  return t > 216 / 24389 ? Math.cbrt(t) : ((24389 / 27) * t + 16) / 116;
}

export function labOf(spectrum: readonly number[]): Triple {
  const [fx, fy, fz] = bars.map((bar, c) => {
    let sum = 0;
    for (let i = 0; i < NM.length; i++) sum += power[i] * bar[i] * spectrum[i];
    return response((scale * sum) / white[c]);
  });
  return [116 * fy - 16, 500 * (fx - fy), 200 * (fy - fz)];
}
