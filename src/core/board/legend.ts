/** The legend of a picture: one entry a colour, swatch beside words and figures. */
import type { Lab, WhiteName } from '../color/index.ts';
import type { Vec3 } from '../math/linear.ts';
import { type Lettering, textWidth, type Weight, wrapText } from './lettering.ts';
import { screenColour } from './screen-colour.ts';
import { GREY, lettered, rectangle } from './svg.ts';

/** One colour of the legend. */
export interface LegendColour {
  readonly id: string;
  /** What the painter calls it; the id when left out. */
  readonly name?: string | undefined;
  readonly lab: Lab;
  /** Half-widths of the 95 % intervals of L*, a*, b*. */
  readonly u95: Vec3;
  /** From the target, when there is one. */
  readonly difference?: LegendDifference | undefined;
  /** What to mind about this colour, in a few words each. */
  readonly remarks?: readonly string[] | undefined;
}

export interface LegendDifference {
  readonly de00: number;
  readonly interval95: readonly [number, number];
  readonly words: string;
}

export interface LegendStyle {
  readonly lettering: Lettering;
  /** Pixels per unit of the design, which is drawn for a picture 1800 wide. */
  readonly scale: number;
  readonly white: WhiteName;
  /** Shown as the lower half of each swatch, edge to edge with the panel. */
  readonly target?: Lab | undefined;
}

interface TextLine {
  readonly text: string;
  /** Set against the plate's right edge, on the same line. */
  readonly atRight?: string | undefined;
  readonly size: number;
  readonly weight: Weight;
  readonly fill: string;
  /** From the line above's baseline, or the plate's top. */
  readonly down: number;
}

const SWATCH = 104;
const PAD = 16;
const GAP = 14;

/** An entry laid out for a column's width: its height, and its drawing at a place. */
export interface LegendEntry {
  readonly height: number;
  readonly draw: (x: number, y: number) => string;
}

export function legendEntry(colour: LegendColour, width: number, style: LegendStyle): LegendEntry {
  const { scale: s, lettering } = style;
  const screen = screenColour(colour.lab, style.white);
  const textLeft = (SWATCH + PAD) * s;
  const inner = width - textLeft - PAD * s;
  const lines = entryLines(colour, inner, screen.isWithinScreen, style);
  const text = lines.reduce((sum, line) => sum + line.down, 0) + 14 * s;
  const height = Math.max(SWATCH * s, text);
  return {
    height: height + GAP * s,
    draw: (x, y) => {
      let baseline = y + (height - text) / 2;
      const drawn = lines.map((line) => {
        baseline += line.down;
        return drawnLine(line, x + textLeft, inner, baseline, lettering);
      });
      return [
        rectangle(x + SWATCH * s, y, width - SWATCH * s, height, GREY.plate),
        swatch(x, y, height, screen.hex, colour, style),
        ...drawn,
      ].join('');
    },
  };
}

function drawnLine(
  { text, atRight, size, weight, fill }: TextLine,
  x: number,
  width: number,
  baseline: number,
  lettering: Lettering,
): string {
  const left = lettered(lettering, text, x, baseline, size, weight, fill);
  if (!atRight) return left;
  const end = x + width - textWidth(lettering, atRight, size, weight);
  return left + lettered(lettering, atRight, end, baseline, size, weight, fill);
}

function swatch(
  x: number,
  y: number,
  height: number,
  hex: string,
  colour: LegendColour,
  { scale: s, target, white }: LegendStyle,
): string {
  const width = SWATCH * s;
  if (!target || !colour.difference) return rectangle(x, y, width, height, hex);
  // the two meet edge to edge, as two panels held together
  const upper = Math.round(0.6 * height);
  return (
    rectangle(x, y, width, upper, hex) +
    rectangle(x, y + upper, width, height - upper, screenColour(target, white).hex)
  );
}

function entryLines(
  { id, name, lab, u95, difference, remarks = [] }: LegendColour,
  width: number,
  isWithinScreen: boolean,
  { lettering, scale: s }: LegendStyle,
): TextLine[] {
  const lines: TextLine[] = [];
  const add = (line: Omit<TextLine, 'fill'> & { readonly fill?: string }): void => {
    lines.push({ fill: GREY.ink, ...line, size: line.size * s, down: line.down * s });
  };
  const distance = difference && `ΔE ${decimal(difference.de00)}`;
  const room = width - (distance ? textWidth(lettering, distance, 25 * s, 'bold') + 18 * s : 0);
  const title = name === undefined || name === id ? id : `${id}\u2002${name}`;
  for (const [i, text] of wrapText(lettering, title, 25 * s, 'bold', room, 2).entries())
    add({ text, atRight: i === 0 ? distance : undefined, size: 25, weight: 'bold', down: i === 0 ? 32 : 28 });
  if (difference)
    for (const [i, text] of wrapText(
      lettering,
      capitalised(difference.words),
      21 * s,
      'regular',
      width,
      3,
    ).entries())
      add({ text, size: 21, weight: 'regular', down: i === 0 ? 30 : 26 });
  const figures = labFigures(lab, u95);
  const range = difference?.interval95.map(decimal).join('–');
  const small = { size: 19, weight: 'regular', fill: GREY.soft } as const;
  const wide = (text: string): number => textWidth(lettering, text, 19 * s, 'regular');
  const isRoomy = !range || wide(figures) + wide(range) + 14 * s <= width;
  if (range && !isRoomy) add({ ...small, text: '', atRight: range, down: 25 });
  add({ ...small, text: figures, atRight: isRoomy ? range : undefined, down: isRoomy ? 29 : 25 });
  for (const remark of isWithinScreen ? remarks : [...remarks, 'deeper than this screen can show'])
    for (const text of wrapText(lettering, capitalised(remark), 19 * s, 'regular', width, 2))
      add({ text, size: 19, weight: 'regular', fill: GREY.soft, down: 25 });
  return lines;
}

function labFigures(lab: Lab, u95: Vec3): string {
  return ['L*', 'a*', 'b*'].map((axis, i) => `${axis} ${decimal(lab[i])} ±${decimal(u95[i])}`).join('   ');
}

/** One decimal, with a true minus sign. */
function decimal(value: number): string {
  const text = Math.abs(value).toFixed(1);
  return value < 0 && text !== '0.0' ? `−${text}` : text;
}

export function capitalised(text: string): string {
  return text.charAt(0).toUpperCase() + text.slice(1);
}
