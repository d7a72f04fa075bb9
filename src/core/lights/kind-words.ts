import type { LightKindName } from '../correction/light-prior.ts';
import type { LikelyLight } from '../correction/likely-light.ts';

/** What a shop calls each kind of light. */
export const KIND_WORDS: Readonly<Record<LightKindName, string>> = {
  day: 'daylight',
  lamp: 'a filament lamp',
  led: 'white LED',
  'tri-phosphor': 'tri-phosphor tubes',
  discharge: 'older tubes or discharge lamps',
  'narrow-led': 'LED of several colours',
  'two kinds at once': 'two kinds of light at once',
};

/** "5200 K (3700–9200)": in hundreds, as far as it is known. */
export function temperatureWords({
  cct_k,
  cct_k_interval95,
}: Pick<LikelyLight, 'cct_k' | 'cct_k_interval95'>): string {
  const [at, low, high] = [cct_k, ...cct_k_interval95].map((k) => Math.round(k / 100) * 100);
  return `${at} K (${low}–${high})`;
}
