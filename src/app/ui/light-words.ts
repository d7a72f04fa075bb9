/** What screens say of a photo's light. */
import type { LikelyLight } from '../../core/correction/likely-light.ts';
import { KIND_WORDS, temperatureWords } from '../../core/lights/kind-words.ts';
import { formatNumber, formatPercent } from './format.ts';

export function kindOfLight({ kind: { name, share } }: LikelyLight): string {
  return `Most likely ${KIND_WORDS[name]} (${formatPercent(share)})`;
}

export function figuresOfLight(light: LikelyLight): string {
  return `about ${temperatureWords(light)}, Duv ${formatNumber(light.duv, 3)} (±${formatNumber(light.duv_u95, 3)})`;
}
