/** The sentences of the screen. */
import type { Lab } from '../../core/color/index.ts';
import { type Difference, hueWord } from '../../core/compare/index.ts';
import { formatInterval, formatNumber } from '../ui/format.ts';
import type { Standing } from './against.ts';

export function closestSentence({ name, difference: { de00, direction } }: Standing): string {
  return `Closest is ${name}: ${formatNumber(de00)} off${direction ? `, ${direction}` : ''}.`;
}

const capital = (words: string): string => words.charAt(0).toUpperCase() + words.slice(1);

export function verdictSentence({ verdict, interval95 }: Difference): string {
  return `${capital(verdict)}. Its true difference lies ${formatInterval(interval95)}.`;
}

/** The three directions of a difference in words, each with its figure: what the panel is against the target's Lab. */
export function directionsOf(
  { dL, dC, dH }: Difference,
  target: Lab,
): readonly {
  readonly symbol: string;
  readonly name: string;
  readonly words: string;
  readonly value: number;
}[] {
  const worded = (value: number, more: string, less: string, same: string): string =>
    Math.abs(value) < 0.3 ? same : value > 0 ? more : less;
  return [
    { symbol: 'ΔL*', name: 'Lightness', words: worded(dL, 'lighter', 'darker', 'as light'), value: dL },
    { symbol: 'ΔC*', name: 'Strength', words: worded(dC, 'stronger', 'duller', 'as strong'), value: dC },
    {
      symbol: 'ΔH*',
      name: 'Hue',
      words: Math.abs(dH) < 0.3 ? 'same hue' : hueWord(target, dH),
      value: dH,
    },
  ];
}

/** `+1.2`, `−0.4` */
export const signed = (value: number): string => `${value > 0 ? '+' : ''}${formatNumber(value)}`;
