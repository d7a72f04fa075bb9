/** The sentences of the screen. */
import type { Difference } from '../../core/compare/index.ts';
import { formatInterval, formatNumber } from '../ui/format.ts';
import type { Standing } from './against.ts';

export function closestSentence({ name, difference: { de00, direction } }: Standing): string {
  return `Closest is ${name}: ${formatNumber(de00)} off${direction ? `, ${direction}` : ''}.`;
}

const capital = (words: string): string => words.charAt(0).toUpperCase() + words.slice(1);

export function verdictSentence({ verdict, interval95 }: Difference): string {
  return `${capital(verdict)}. Its true difference lies ${formatInterval(interval95)}.`;
}

const LIGHTNESS = /(?:lighter|darker)$/;
const STRENGTH = /(?:stronger|duller)$/;

/**
 * The three directions of a difference, each with its figure, in the words that the list has for it: where it has none, the
 * draws do not agree or the other directions weigh far more.
 */
export function directionsOf({ direction, dL, dC, dH, u95 }: Difference): readonly {
  readonly symbol: string;
  readonly name: string;
  readonly words: string;
  readonly value: number;
  /** Half-width of its 95 % interval. */
  readonly u95: number;
}[] {
  const all = direction === '' ? [] : direction.split(', ');
  const worded = (belongs: (words: string) => boolean): string =>
    all.filter(belongs).join(', ') || 'no clear difference';
  return [
    { symbol: 'ΔL*', name: 'Lightness', words: worded((w) => LIGHTNESS.test(w)), value: dL, u95: u95[0] },
    { symbol: 'ΔC*', name: 'Strength', words: worded((w) => STRENGTH.test(w)), value: dC, u95: u95[1] },
    {
      symbol: 'ΔH*',
      name: 'Hue',
      words: worded((w) => !LIGHTNESS.test(w) && !STRENGTH.test(w)),
      value: dH,
      u95: u95[2],
    },
  ];
}

/** `+1.2`, `−0.4` */
export const signed = (value: number): string => `${value > 0 ? '+' : ''}${formatNumber(value)}`;
