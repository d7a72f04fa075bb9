import type { Warning } from '../errors.ts';
import type { PointPx, Reading } from '../photo/types.ts';

/** Fewer pixels than this in the mean, and the photo's own grain shows in the colour. */
const FEW_PIXELS = 400;
const MUCH_GLARE = 0.15;
const MUCH_DUST = 0.1;
const MUCH_CLIPPED = 0.05;
/** Cells further apart than this on average: the panel, or the light on it, is not even. */
const UNEVEN_DE00 = 1.5;
/** A veil that makes up so much of the mean's colour is worth a word. */
const MUCH_VEIL_DE00 = 1;
/** How far beyond the card's own readings a channel may lie before the card says little about it. */
const REACH_ABOVE = 1.15;
const REACH_BELOW = 0.6;

/** A way leads to a corner when it leans to both sides by more than this: the sine of 22.5°. */
const ASIDE = 0.38;

const CHANNEL = ['red', 'green', 'blue'] as const;

export interface PanelFacts {
  readonly id: string;
  readonly reading: Reading;
  readonly evenness_de00?: number;
  /** Light that may be mirrored all over it: what it makes of the mean, ΔE2000, and the way to where it is palest. */
  readonly veil?: { readonly de00: number; readonly palest: PointPx } | undefined;
  /** The card's patches as read in the same photo: they bound what the card can vouch for. */
  readonly card?: readonly Reading[];
}

/** What a painter should know before trusting a panel's colour, most serious first; empty when all is well. */
export function panelWarnings({ id, reading, evenness_de00, veil, card = [] }: PanelFacts): Warning[] {
  const warnings: Warning[] = [];
  const warn = (code: string, message: string): void => {
    warnings.push({ code, message });
  };
  const high = channelsBeyond(reading.clippedHigh);
  const low = channelsBeyond(reading.clippedLow);
  if (high.length > 0)
    warn(
      'panel-clipped-high',
      `Panel ${id} is overexposed in ${list(high)}: take the photo a little darker, or turn the panel away from the lamp.`,
    );
  if (low.length > 0)
    warn(
      'panel-clipped-low',
      `Panel ${id} is too deep for this photo in ${list(low)}: more light, a longer exposure, or a wide-colour (Display P3) or raw photo shows more.`,
    );
  if (reading.glareFraction > MUCH_GLARE)
    warn(
      'panel-glare',
      `${percent(reading.glareFraction)} of panel ${id} is glare and was left out: move the lamp or the camera until nothing mirrors in it.`,
    );
  if (reading.dustFraction > MUCH_DUST)
    warn(
      'panel-spots',
      `${percent(reading.dustFraction)} of panel ${id} is darker or of another colour and was left out: dust, a shadow, or corners set beyond the panel.`,
    );
  if (reading.pixels > 0 && reading.pixels < FEW_PIXELS)
    warn(
      'panel-few-pixels',
      `Panel ${id} is only ${reading.pixels} pixels: come closer, or use the camera's full size.`,
    );
  if (veil && veil.de00 > MUCH_VEIL_DE00)
    warn(
      'panel-veiled',
      `Panel ${id} is paler towards its ${sideOf(veil.palest)}: a bright wall or window mirrored in it does that, or thinner coats there. Its colour is taken between its mean and its clearest part, ${veil.de00.toFixed(1)} ΔE apart. Turn it until it looks the same all over, or hold something black where the light comes from.`,
    );
  else if (evenness_de00 !== undefined && evenness_de00 > UNEVEN_DE00)
    warn(
      'panel-uneven',
      `Panel ${id} is uneven: its parts lie ${evenness_de00.toFixed(1)} ΔE from their mean. Its colour is the mean of them.`,
    );
  const reach = beyondCard(reading, card);
  if (reach)
    warn(
      'panel-beyond-card',
      `Panel ${id} is ${reach} than anything on the card: its colour is extrapolated.`,
    );
  return warnings;
}

/** Where a way in the photo leads, as its side or corner: "top left". */
function sideOf([x, y]: PointPx): string {
  const sides = [
    y < -ASIDE ? 'top' : y > ASIDE ? 'bottom' : '',
    x < -ASIDE ? 'left' : x > ASIDE ? 'right' : '',
  ];
  return sides.filter(Boolean).join(' ');
}

function channelsBeyond(shares: Reading['clippedHigh']): string[] {
  return CHANNEL.filter((_, c) => shares[c] > MUCH_CLIPPED);
}

function beyondCard(reading: Reading, card: readonly Reading[]): string | undefined {
  if (card.length === 0 || reading.pixels === 0) return undefined;
  const brighter = CHANNEL.filter(
    (_, c) => reading.linear[c] > REACH_ABOVE * Math.max(...card.map((patch) => patch.linear[c])),
  );
  if (brighter.length > 0) return `brighter in ${list(brighter)}`;
  const darker = CHANNEL.filter(
    (_, c) => reading.linear[c] < REACH_BELOW * Math.min(...card.map((patch) => patch.linear[c])),
  );
  return darker.length > 0 ? `deeper in ${list(darker)}` : undefined;
}

function list(words: readonly string[]): string {
  return words.length < 2
    ? words.join('')
    : `${words.slice(0, -1).join(', ')} and ${words[words.length - 1]}`;
}

function percent(share: number): string {
  return `${Math.round(100 * share)} %`;
}
