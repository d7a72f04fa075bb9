import { seededRandom } from '../math/random.ts';
import { NODES, NODES_NM } from './node-grid.ts';

const COUNT = 600;

/**
 * Some hundreds of made-up transparent dyes, to say how dyes look and scatter: one to three absorption bands, soft or
 * with a sharp edge, over a faint grey. NODES absorbances each, largest value 1.
 */
export function dyeLibrary(): Float64Array[] {
  const rng = seededRandom(20);
  return Array.from({ length: COUNT }, () => {
    const dye = new Float64Array(NODES);
    const bands = 1 + Math.floor(3 * rng.uniform());
    for (let b = 0; b < bands; b++) {
      const peak = 380 + 300 * rng.uniform();
      const toBlue = 20 + 70 * rng.uniform();
      const toRed = 15 + 45 * rng.uniform();
      const flat = 1 + 2 * rng.uniform() ** 2;
      const height = b === 0 ? 1 : 0.1 + 0.8 * rng.uniform();
      NODES_NM.forEach((nm, n) => {
        const x = Math.abs(nm - peak) / (nm < peak ? toBlue : toRed);
        dye[n] += height * Math.exp(-0.5 * x ** (2 * flat));
      });
    }
    const grey = Math.exp(Math.log(0.003) + (Math.log(0.1) - Math.log(0.003)) * rng.uniform());
    const largest = Math.max(...dye) + grey;
    return dye.map((a) => (a + grey) / largest);
  });
}
