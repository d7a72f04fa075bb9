import type { Warning } from '../errors.ts';
import type { ReadCard } from './read-card.ts';

/** Above this mean leave-one-out ΔE2000, the card's own colours are badly read. */
const POOR_CHECK = 4;
/** Amplitude of what the card still shows above which the camera bends colours, Lab units. */
const STRONG_BEND = 4;

/** What to say of a photo's card before anyone trusts the colours. */
export function cardWarnings({ correction, placed, turned }: ReadCard): Warning[] {
  const warnings: Warning[] = [];
  const { check, residualField, outlying } = correction;
  const copies = placed.filter((card) => card.definition === placed[0].definition).length;
  if (turned)
    warnings.push({
      code: 'card-turned',
      message: `The card's corners begin with another corner than its own top left: with the ${turned} as the top left its colours come right, and so it was read.`,
    });
  if (copies > 1)
    warnings.push({
      code: 'several-cards',
      message: `${copies} cards of this kind lie in the photo; all of them were read together. Lay them in one plane.`,
    });
  if (outlying.length > 0)
    warnings.push({
      code: 'patches-left-out',
      message: `${outlying.length === 1 ? `Patch ${outlying[0]} is` : `Patches ${outlying.join(', ')} are`} not what the card shows there: covered, stained or sprayed over? The correction was made without ${outlying.length === 1 ? 'it' : 'them'}; uncover or clean the card for a surer one.`,
    });
  if (check.mean_de00 > POOR_CHECK)
    warnings.push({
      code: 'card-poorly-read',
      message: `The card's own colours are predicted only to within ${check.mean_de00.toFixed(1)} ΔE on average: is this the right card file, is the card clean and dry, and does one light fall on card and panels? Take differences in this photo with care and do not trust its absolute colours.`,
    });
  else if (residualField.amplitude >= STRONG_BEND)
    warnings.push({
      code: 'photo-bends-colour',
      message:
        'The camera bent the colours in a way no exposure or white balance explains (a scene mode or filter): what the card shows of it is undone, and the intervals are wider for it. A plain or raw photo mode is better.',
    });
  if (placed[0].definition.source === 'nominal')
    warnings.push({
      code: 'card-nominal',
      message:
        'This card was never measured: differences inside one photo are sound, absolute colours and comparisons with other cards are good to about 2 ΔE.',
    });
  return warnings;
}
