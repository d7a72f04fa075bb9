import { deltaE2000, type Lab } from '../../../src/core/color/index.ts';
import { fitFilm } from '../../../src/core/film/fit.ts';
import { compileRecipe, filmColour, filmDerivatives, filmState } from '../../../src/core/film/model.ts';
import { posteriorDraws, predictColour, predictDraws } from '../../../src/core/film/predict.ts';
import { PRIORS } from '../../../src/core/film/priors.ts';
import { seededRandom } from '../../../src/core/math/random.ts';
import { simulateJob, unseenSpray } from './jobs.ts';
import { dataOf, recipeOf } from './to-data.ts';
import { type Family, sprayPanel } from './world.ts';

const q = (v: number[], p: number) =>
  [...v].sort((a, b) => a - b)[Math.min(v.length - 1, Math.floor(p * v.length))];
const mean = (v: number[]) => v.reduce((a, b) => a + b, 0) / v.length;
const jobs = Number(process.argv[2] ?? 30);
const base = Number(process.argv[3] ?? 1000);
const families = (process.argv[4] ?? 'gaussian').split(',') as Family[];
const counts = (process.argv[5] ?? '3,6,12').split(',').map(Number);
const over = process.argv[6] ? JSON.parse(process.argv[6]) : {};
const priors = { ...PRIORS, ...over };
if (process.argv[2] === 'jac') {
  const job = simulateJob('gaussian', 4, 5);
  const fit = fitFilm(dataOf(job));
  const m = fit.model;
  const rng = seededRandom(3);
  const x = Float64Array.from({ length: m.size }, () => 0.5 * rng.normal());
  for (const p of job.panels) {
    const r = compileRecipe(m, { ...recipeOf(p.spray), clear: false });
    const J = new Float64Array(3 * m.size);
    const h = new Float64Array(3);
    filmDerivatives(m, filmState(m, x), r, 0.1, J, h);
    let worst = 0;
    for (let j = 0; j < m.size; j++) {
      const e = 1e-5;
      const up = x.slice();
      up[j] += e;
      const dn = x.slice();
      dn[j] -= e;
      const a = filmColour(m, filmState(m, up), r, 0.1);
      const b = filmColour(m, filmState(m, dn), r, 0.1);
      for (let c = 0; c < 3; c++)
        worst = Math.max(worst, Math.abs((a[c] - b[c]) / (2 * e) - J[c * m.size + j]));
    }
    console.log(p.id, worst);
  }
  process.exit();
}
for (const family of families)
  for (const count of counts) {
    const nominal: number[] = [];
    const sprayed: number[] = [];
    const floor: number[] = [];
    const meanErr: number[] = [];
    const per: number[] = [];
    let cover = 0,
      coverN = 0,
      n = 0,
      bad = 0;
    const t0 = performance.now();
    let fitMs = 0;
    for (let j = 0; j < jobs; j++) {
      const job = simulateJob(
        family,
        count,
        base + j,
        Number(process.env.U ?? 0.6),
        process.env.TINTS ? Number(process.env.TINTS) : undefined,
      );
      const t = performance.now();
      const fit = fitFilm(dataOf(job), priors);
      fitMs += performance.now() - t;
      if (!fit.converged) bad++;
      const draws = posteriorDraws(fit);
      const these: number[] = [];
      for (let k = 0; k < 8; k++) {
        const spray = unseenSpray(job);
        const truth = sprayPanel(job.world, spray) as Lab;
        const real = sprayPanel(job.world, spray, job.rng) as Lab;
        const p = predictColour(fit, recipeOf(spray));
        these.push(deltaE2000(p, truth));
        nominal.push(deltaE2000(p, truth));
        sprayed.push(deltaE2000(p, real));
        floor.push(deltaE2000(truth, real));
        const d = predictDraws(fit, draws, recipeOf(spray));
        const m = [0, 0, 0];
        for (let i = 0; i < d.length; i++) m[i % 3] += (3 * d[i]) / d.length;
        meanErr.push(deltaE2000(m as unknown as Lab, truth));
        for (let c = 0; c < 3; c++) {
          const col = Array.from({ length: d.length / 3 }, (_, i) => d[3 * i + c]);
          const lo = q(col, 0.025),
            hi = q(col, 0.975);
          if (real[c] >= lo && real[c] <= hi) cover++;
          if (truth[c] >= lo && truth[c] <= hi) coverN++;
          n++;
        }
      }
      per.push(mean(these));
    }
    console.log(
      `${family} n=${count} nominal ${mean(nominal).toFixed(2)}/${q(nominal, 0.95).toFixed(2)} sprayed ${mean(sprayed).toFixed(2)}/${q(sprayed, 0.95).toFixed(2)} hand ${mean(floor).toFixed(2)} drawmean ${mean(meanErr).toFixed(2)}/${q(meanErr, 0.95).toFixed(2)} cover ${((100 * cover) / n).toFixed(1)} nominal ${((100 * coverN) / n).toFixed(1)} fit ${(fitMs / jobs).toFixed(1)}ms bad ${bad} worstjob ${q(per, 1).toFixed(1)} total ${((performance.now() - t0) / 1000).toFixed(1)}s`,
    );
  }
