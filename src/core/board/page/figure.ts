/** How far a panel is off, as a line of a sheet. */
import type { BoardPanel } from '../types.ts';

type Difference = NonNullable<BoardPanel['difference']>;

export function figureOnly({ de00, interval95 }: Difference): string {
  return `ΔE ${de00.toFixed(1)}, between ${interval95[0].toFixed(1)} and ${interval95[1].toFixed(1)}`;
}

/** The same in a shorter way where that is too wide: a figure cut short is another figure. */
export function figureThatFits(difference: Difference, fits: (text: string) => boolean): string {
  const bare = `ΔE ${difference.de00.toFixed(1)}`;
  const [low, high] = difference.interval95.map((v) => v.toFixed(1));
  return [figureOnly(difference), `${bare} (${low}–${high})`].find(fits) ?? bare;
}
