/** The film model's derivatives by its unknowns. */
import type { Lab } from '../color/index.ts';
import { comesBack, filmAmount, mixAbsorbance, SURFACE_PASSES } from './colour.ts';
import { AT, type CompiledRecipe, type FilmModel, type FilmState, groundAt, tintAt } from './model.ts';
import { NODES } from './node-grid.ts';
import { labOfNodes, nodeViewing } from './nodes.ts';

const dLab = new Float64Array(3 * NODES);
const byAbsorbance = new Float64Array(NODES);
const passes = new Float64Array(NODES);
const scattered = new Float64Array(NODES);
const inner = new Float64Array(NODES);
const byInner = new Float64Array(NODES);
const surface = new Float64Array(NODES);

/**
 * Colour and its derivatives: `jacobian` (3 × size, row-major) by the unknowns, `byHand` (3) by the panel's own ln
 * film amount. Both are overwritten.
 */
export function filmDerivatives(
  m: FilmModel,
  s: FilmState,
  r: CompiledRecipe,
  hand: number,
  jacobian: Float64Array,
  byHand: Float64Array,
): Lab {
  const p = m.priors;
  const { size } = m;
  const k2 = s.inside[r.ground];
  const amount = filmAmount(s, r, hand);
  const f = s.surface + (r.clear ? 0 : s.uncleared);
  const phi = r.coated ? s.gap[r.ground] : 0;
  const v = s.spread;
  const a = mixAbsorbance(m, s, r.fractions);
  for (let n = 0; n < NODES; n++) {
    a[n] *= amount;
    passes[n] = 1;
    if (r.coated) passes[n] = Math.exp((-1 / v) * Math.log1p(v * a[n]));
    scattered[n] = s.haze * amount * comesBack(a[n]);
    inner[n] = s.ground[r.ground * NODES + n] * ((1 - phi) * passes[n] + phi) + scattered[n];
    const d = 1 - k2 * inner[n];
    surface[n] = f + (SURFACE_PASSES * (1 - k2) * inner[n]) / d;
    byInner[n] = (SURFACE_PASSES * (1 - k2)) / (d * d);
  }
  const lab = labOfNodes(surface, nodeViewing(m.white), dLab);
  jacobian.fill(0);
  const gCount = m.groundBasis.count;
  const gAt = groundAt(m, r.ground);
  for (let c = 0; c < 3; c++) {
    const row = c * size;
    let bySpread = 0;
    let byInside = 0;
    let byGap = 0;
    let byHaze = 0;
    let byAmount = 0;
    let bySurface = 0;
    for (let n = 0; n < NODES; n++) {
      const d = dLab[c * NODES + n];
      const rg = s.ground[r.ground * NODES + n];
      const toInner = d * byInner[n];
      const one = 1 - k2 * inner[n];
      bySurface += d;
      byInside += (d * SURFACE_PASSES * inner[n] * (inner[n] - 1)) / (one * one);
      byGap += toInner * rg * (1 - passes[n]);
      const toPassed = toInner * rg * (1 - phi);
      const q = 1 + v * a[n];
      let toAbsorbance = 0;
      if (r.coated) {
        // d/dA of (1 − e^−A)/A is (e^−A − (1 − e^−A)/A)/A
        const thins = (s.haze * amount * Math.exp(-a[n]) - scattered[n]) / a[n];
        toAbsorbance = (-toPassed * passes[n]) / q + toInner * thins;
      }
      byAbsorbance[n] = toAbsorbance;
      byAmount += toAbsorbance * a[n] + toInner * scattered[n];
      byHaze += toInner * scattered[n];
      if (r.coated) bySpread += toPassed * passes[n] * (Math.log(q) / v - a[n] / q);
      // logit of the ground
      const toGround = toInner * (inner[n] - scattered[n]) * (1 - rg);
      for (let k = 0; k < gCount; k++)
        jacobian[row + gAt + k] += toGround * m.groundBasis.vectors[n * gCount + k];
    }
    byHand[c] = byAmount;
    jacobian[row + AT.beta] = byAmount * r.lnCoatsOverUsual * p.coats;
    jacobian[row + AT.gamma] = -byAmount * r.lnCarrier * p.letdown;
    jacobian[row + AT.spread] = bySpread * p.spread.sd;
    jacobian[row + AT.inside] = byInside * k2 * (1 - k2) * p.inside.sd;
    jacobian[row + gAt + gCount + 1] = byInside * k2 * (1 - k2) * p.inside.perGround;
    jacobian[row + AT.surface] = bySurface * s.surface * p.surface.sd;
    if (!r.clear) jacobian[row + AT.uncleared] = bySurface * s.uncleared * p.uncleared.sd;
    if (r.coated) {
      jacobian[row + AT.haze] = byHaze * p.haze.sd;
      jacobian[row + AT.gap] = byGap * phi * p.gap.sd;
      jacobian[row + gAt + gCount] = byGap * phi * p.gap.perGround;
    }
    for (let i = 0; i < r.fractions.length; i++) {
      if (r.fractions[i] === 0) continue;
      const at = row + tintAt(i);
      const share = amount * r.fractions[i];
      const { vectors, count } = m.tintBases[i];
      for (let n = 0; n < NODES; n++) {
        const toLog = byAbsorbance[n] * share * s.absorbance[i * NODES + n];
        for (let k = 0; k < count; k++) jacobian[at + k] += toLog * vectors[n * count + k];
      }
    }
  }
  return lab;
}
