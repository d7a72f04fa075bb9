/** Mean and scatter of spectra. */
import { NODES } from './node-grid.ts';

/** Mean (NODES) and covariance (NODES × NODES) of spectra at the nodes. */
export interface Moments {
  readonly mean: Float64Array;
  readonly covariance: Float64Array;
}

/** Mean of one or more spectra, node by node. */
export function meanOf(spectra: readonly Float64Array[]): Float64Array {
  const mean = new Float64Array(NODES);
  for (const s of spectra) for (let i = 0; i < NODES; i++) mean[i] += s[i] / spectra.length;
  return mean;
}

export function momentsOf(spectra: readonly Float64Array[]): Moments {
  const mean = meanOf(spectra);
  const covariance = new Float64Array(NODES * NODES);
  for (const s of spectra)
    for (let i = 0; i < NODES; i++) {
      const d = (s[i] - mean[i]) / spectra.length;
      for (let j = 0; j < NODES; j++) covariance[i * NODES + j] += d * (s[j] - mean[j]);
    }
  return { mean, covariance };
}

/** Moments of a mixture, of weights that sum to 1. */
export function momentsOfMixture(parts: readonly Moments[], weights: readonly number[]): Moments {
  const mean = new Float64Array(NODES);
  const covariance = new Float64Array(NODES * NODES);
  parts.forEach((p, k) => {
    for (let i = 0; i < NODES; i++) mean[i] += weights[k] * p.mean[i];
  });
  parts.forEach((p, k) => {
    for (let i = 0; i < NODES; i++)
      for (let j = 0; j < NODES; j++)
        covariance[i * NODES + j] +=
          weights[k] * (p.covariance[i * NODES + j] + (p.mean[i] - mean[i]) * (p.mean[j] - mean[j]));
  });
  return { mean, covariance };
}
