import type { LikelyLight } from '../core/correction/likely-light.ts';
import type { CardCheck } from '../core/correction/types.ts';
import { KIND_WORDS, temperatureWords } from '../core/lights/kind-words.ts';
import type { MeasuredPhoto } from '../core/measure/index.ts';
import { indented, plusMinus, table } from './table.ts';

/** One measured photo for a terminal: the check first, for it says whether to trust the rest. */
export function measuredWords(file: string, measured: MeasuredPhoto): string {
  const { card, light, panels, warnings, white } = measured;
  const how = card.found_by === 'markers' ? 'found by its markers' : 'placed by the corners given';
  const rows = panels.map((p) => [
    p.id,
    ...p.lab.map((v, i) => plusMinus(v, p.u95[i])),
    p.evenness_de00.toFixed(1),
    `${(100 * p.glare_fraction).toFixed(0)} %`,
    String(p.pixels),
  ]);
  return [
    file,
    `  ${checkSentence(card.check)}`,
    `  card: ${card.name}, ${how}; light: ${lightInWords(light)}`,
    indented(
      table(
        [[`panel (${white})`, 'L*', 'a*', 'b*', 'uneven by', 'glare', 'pixels'], ...rows],
        [1, 2, 3, 4, 5, 6],
      ),
    ),
    ...panels.flatMap((p) => p.warnings.map((w) => `  ! ${w.message}`)),
    ...warnings.map((w) => `  ! ${w.message}`),
  ].join('\n');
}

/** The leave-one-out check in one sentence. */
export function checkSentence({
  mean_de00,
  max_de00,
  patches_checked,
  patches_left_out,
  worst_patch,
}: CardCheck): string {
  if (!Number.isFinite(mean_de00)) return 'no patch of the card could be checked: do not trust this photo';
  const worst = worst_patch === undefined ? '' : ` (patch ${worst_patch})`;
  const out =
    patches_left_out.length === 0
      ? ''
      : `; left out: ${patches_left_out.slice(0, 6).join(', ')}${patches_left_out.length > 6 ? ' …' : ''}`;
  return `the card was read to within ${mean_de00.toFixed(1)} on average, worst ${max_de00.toFixed(1)}${worst}, over ${patches_checked} patches${out}`;
}

function lightInWords(light: LikelyLight): string {
  const { name, share } = light.kind;
  return `most likely ${KIND_WORDS[name]} (${Math.round(100 * share)} %), about ${temperatureWords(light)}`;
}
