/** How light falls over the bench in a scene. */
import type { Family, SceneLight } from './lights.ts';
import type { SceneRandom } from './random.ts';
import type { Triple } from './spectral.ts';

/** Light per channel at a place on the card's plane (mm from the card's top left), 1 at the card's centre. */
export type LightField = (x_mm: number, y_mm: number) => Triple;

export interface FieldOptions {
  /** Centre of the card, mm. */
  readonly centre_mm: readonly [number, number];
  /** Multiplies every unevenness; 1 is a usual bench, 0 even light. */
  readonly strength: number;
}

/**
 * A lamp's inverse-square fall (window or sky: a gentle slope), the lens's vignette, a wide soft shadow, and a slight
 * drift of colour where a second light reaches in.
 */
export function makeField(
  light: SceneLight,
  family: Family,
  random: SceneRandom,
  { centre_mm, strength }: FieldOptions,
): LightField {
  const [cx, cy] = centre_mm;
  const indoors = light.kind !== 'day';
  const height = indoors ? random.between(650, 1600) : random.between(1800, 4000);
  const towards = random.between(0, 2 * Math.PI);
  const away = height * (family === 'tune' ? random.between(0.1, 0.5) : random.between(0, 0.6));
  const lampX = away * Math.cos(towards);
  const lampY = away * Math.sin(towards);
  const ambient = random.between(0.1, 0.5);
  const vignette = random.between(0, 0.06);
  const lensX = random.normal(60, 40);
  const lensY = random.normal(30, 30);
  const shade = random.chance(0.4) ? random.between(0, 0.05) : 0;
  const shadeX = random.between(-250, 250);
  const shadeY = random.between(-200, 200);
  const tint = [random.normal(0, 0.004), random.normal(0, 0.003)];
  const raw = (x: number, y: number): number => {
    const r2 = (x - lampX) ** 2 + (y - lampY) ** 2 + height ** 2;
    const lens = 1 - vignette * (((x - lensX) / 250) ** 2 + ((y - lensY) / 250) ** 2);
    const soft = 1 - shade * Math.exp(-(((x - shadeX) / 130) ** 2 + ((y - shadeY) / 130) ** 2) / 2);
    return (ambient + (1 - ambient) * (height ** 4 / r2 ** 2)) * Math.max(0.3, lens) * soft;
  };
  const at0 = raw(0, 0);
  return (x_mm, y_mm) => {
    const x = x_mm - cx;
    const y = y_mm - cy;
    const level = strength === 1 ? raw(x, y) / at0 : (raw(x, y) / at0) ** strength;
    const drift = ((tint[0] * x + tint[1] * y) / 150) * strength;
    return [level * (1 + drift), level, level * (1 - drift)];
  };
}
