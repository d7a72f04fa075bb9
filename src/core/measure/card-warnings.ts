import type { Curl } from '../card/types.ts';
import type { Warning } from '../errors.ts';
import type { ReadCard } from './read-card.ts';

/** Above this mean leave-one-out ΔE2000, the card's own colours are badly read. */
const POOR_CHECK = 4;
/**
 * How far off, in standard deviations of a strict fit, the farthest patch may be that was not left out: up to 10 in photographs
 * of a chart, 11 to 17 with half of a card in the shade: not each of these is told, but no sound photo is blamed.
 */
const TORN = 13;
/** An edge that stands this far off the plane through a card's middle, mm, makes panels some .4 L* less sure. */
const CURLED_MM = 1;
/** Brightener, as reflectance in the blue, from which on what the light wakes of it leaves b* open by one and more. */
const MUCH_GLOW = 0.06;
/** Amplitude of what the card still shows above which the camera bends colours, Lab units. */
const STRONG_BEND = 4;

/** What to say of a photo's card before anyone trusts the colours. */
export function cardWarnings({ correction, placed, turned }: ReadCard): Warning[] {
  const warnings: Warning[] = [];
  const { check, residualField, outlying, cardFit, glow } = correction;
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
  const rise = placed[0].curl ? edgesRise(placed[0].curl, placed[0].definition.size_mm) : 0;
  if (Math.abs(rise) > CURLED_MM)
    warnings.push({
      code: 'card-curled',
      message: `The card does not lie flat: its ${rise > 0 ? 'edges stand' : 'middle stands'} about ${Math.abs(rise).toFixed(0)} mm higher than its ${rise > 0 ? 'middle' : 'edges'}. Bent paper faces the light otherwise than the panels do, so their lightness is less sure. Glue the card to a stiff board, or weigh its edges down.`,
    });
  if (outlying.length > 0)
    warnings.push({
      code: 'patches-left-out',
      message: `${outlying.length === 1 ? `Patch ${outlying[0]} is` : `Patches ${outlying.join(', ')} are`} not what the card shows there: covered, shaded, stained or sprayed over? The correction was made without ${outlying.length === 1 ? 'it' : 'them'}; uncover or clean the card for a surer one.`,
    });
  const isTorn = cardFit.farthest > TORN;
  if (isTorn)
    warnings.push({
      code: 'card-torn',
      message:
        "The card's patches do not fit together: a shadow lies over a part of it, much of it is covered, or it is another card than its file says. Do not trust this photo's colours; light the whole card evenly and take it again.",
    });
  if (check.mean_de00 > POOR_CHECK)
    warnings.push({
      code: 'card-poorly-read',
      message: `The card's own colours are predicted only to within ${check.mean_de00.toFixed(1)} ΔE on average: is this the right card file, is the card clean and dry, and does one light fall on card and panels? Take differences in this photo with care and do not trust its absolute colours.`,
    });
  else if (!isTorn && residualField.amplitude >= STRONG_BEND)
    warnings.push({
      code: 'photo-bends-colour',
      message:
        'The camera bent the colours in a way no exposure or white balance explains (a scene mode or filter): what the card shows of it is undone, and the intervals are wider for it. A plain or raw photo mode is better.',
    });
  if (glow > MUCH_GLOW)
    warnings.push({
      code: 'card-brightened',
      message: `The card's paper holds much optical brightener: it sent ${Math.round(100 * glow)} % more blue to the instrument than plain paper does, and sends as much as a light has ultraviolet. What this light wakes of it was estimated, and b* is less sure for it; print the card on paper that does not shine blue under an ultraviolet lamp.`,
    });
  if (placed[0].definition.source === 'nominal')
    warnings.push({
      code: 'card-nominal',
      message:
        'This card was never measured: differences inside one photo are sound, absolute colours and comparisons with other cards are good to about 2 ΔE.',
    });
  return warnings;
}

/** How much nearer to the camera than its middle the edge or corner lies that is farthest off, mm; below 0 where it is farther. */
function edgesRise({ xx, xy, yy }: Curl, [width_mm, height_mm]: readonly [number, number]): number {
  const away = [-1, 0, 1].flatMap((x) =>
    [-1, 0, 1].map((y) => {
      const [dx, dy] = [(x * width_mm) / 2, (y * height_mm) / 2];
      return xx * dx * dx + xy * dx * dy + yy * dy * dy;
    }),
  );
  return -away.reduce((most, z) => (Math.abs(z) > Math.abs(most) ? z : most));
}
