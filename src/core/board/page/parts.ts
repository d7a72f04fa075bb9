/** The parts a board is put together from: pictures meeting, bars of parts, coats as strokes, lines of type. */

import { type Lettering, textWidth, type Weight, wrapText } from '../lettering.ts';
import type { BoardColour, BoardPanel } from '../types.ts';
import type { Box, PageItem } from './display.ts';

/** Inks: equal red, green and blue, so that they tint no judgement of colour. */
export const INK = '#161616';
export const SOFT = '#595959';
export const LINE = '#c4c4c4';
/** Fill of a tint whose own colour nobody measured; the first is the main tint's. */
const UNMEASURED = ['#6f6f6f', '#a3a3a3', '#c9c9c9', '#8a8a8a'];

/** Type in one size and weight. */
export interface Type {
  readonly size: number;
  readonly weight: Weight;
  readonly fill: string;
  /** From baseline to baseline, ems. */
  readonly leading: number;
}

export interface Block {
  readonly items: readonly PageItem[];
  /** Depth taken, mm. */
  readonly height: number;
}

/** A paragraph from (x, y) down; y is the top of its first line. */
export function paragraph(
  lettering: Lettering,
  text: string,
  x: number,
  y: number,
  width: number,
  type: Type,
  most: number,
): Block {
  const lines = text === '' || most < 1 ? [] : wrapText(lettering, text, type.size, type.weight, width, most);
  return {
    items: lines.map((line, i) => ({
      kind: 'text',
      text: line,
      x,
      y: y + type.size * (0.5 + 0.36 + (type.leading - 1) / 2 + i * type.leading) - 0.04 * type.size,
      size: type.size,
      weight: type.weight,
      fill: type.fill,
    })),
    height: lines.length * type.size * type.leading,
  };
}

/** The same for what half said may say the opposite: all of it, or nothing where it takes more lines. */
export function wholeParagraph(
  ...[lettering, text, x, y, width, type, most]: Parameters<typeof paragraph>
): Block {
  const lines = wrapText(lettering, text, type.size, type.weight, width, most + 1).length;
  return paragraph(lettering, text, x, y, width, type, lines > most ? 0 : most);
}

/** One line cut to a width, at a baseline. */
export function line(
  lettering: Lettering,
  text: string,
  x: number,
  baseline: number,
  width: number,
  { size, weight, fill }: Type,
  align: 'start' | 'end' = 'start',
): PageItem[] {
  const [fitted] = wrapText(lettering, text, size, weight, width, 1);
  return fitted ? [{ kind: 'text', text: fitted, x, y: baseline, size, weight, fill, align }] : [];
}

/** A colour over a box: its picture, or its swatch where no photo shows it. */
export function face(colour: BoardColour, box: Box): PageItem {
  return colour.picture
    ? { kind: 'picture', ...box, picture: colour.picture }
    : { kind: 'area', ...box, fill: colour.swatch.hex };
}

/** The panel with the target held against it, edge to edge. */
export function meeting(
  panel: BoardPanel,
  target: BoardColour | undefined,
  box: Box,
  share = 0.26,
): PageItem[] {
  if (!target) return [face(panel, box)];
  const own = box.width * (1 - share);
  return [
    // under the target's edge, so that no light shows between the two
    face(panel, { ...box, width: own + 0.3 }),
    face(target, { ...box, x: box.x + own, width: box.width - own }),
  ];
}

/** Parts of the tints side by side, each as long as its share. */
export function partsBar({ recipe }: BoardPanel, box: Box): PageItem[] {
  if (!recipe) return [];
  const total = recipe.parts.reduce((sum, p) => sum + p.parts, 0);
  let x = box.x;
  return recipe.parts.map((part, i) => {
    const width = (box.width * part.parts) / total;
    const item: PageItem = {
      kind: 'area',
      x,
      y: box.y,
      width,
      height: box.height,
      fill: partColour(part.colour, i),
    };
    x += width;
    return item;
  });
}

export function partColour(colour: string | undefined, index: number): string {
  return colour ?? UNMEASURED[index % UNMEASURED.length];
}

/** The mix against its carrier: filled and open lengths of one bar. */
export function letdownBar({ recipe }: BoardPanel, box: Box): PageItem[] {
  if (!recipe || recipe.carrier === undefined || recipe.carrier === 0) return [];
  const mix = box.width / (1 + recipe.carrier);
  const line_mm = 0.2;
  return [
    {
      kind: 'outline',
      x: box.x + line_mm / 2,
      y: box.y + line_mm / 2,
      width: box.width - line_mm,
      height: box.height - line_mm,
      stroke: SOFT,
      line: line_mm,
    },
    { kind: 'area', x: box.x, y: box.y, width: mix, height: box.height, fill: SOFT },
  ];
}

const MOST_STROKES = 12;

/** Ground below, a stroke for each coat over it, clear as an open stroke on top; from the box's foot up. */
export function coatStrokes(panel: BoardPanel, box: Box): Block {
  const strokes = Math.min(MOST_STROKES, panel.coats ?? 0);
  const rows = strokes + (panel.clear ? 1 : 0);
  const step = Math.min(box.height / (rows + 1.9), box.width / 5);
  const thick = 0.62 * step;
  const items: PageItem[] = [];
  const foot = box.y + box.height;
  const ground = 1.5 * step;
  items.push(
    panel.ground?.colour
      ? {
          kind: 'area',
          x: box.x,
          y: foot - ground,
          width: box.width,
          height: ground,
          fill: panel.ground.colour,
        }
      : {
          kind: 'outline',
          x: box.x + 0.1,
          y: foot - ground,
          width: box.width - 0.2,
          height: ground - 0.1,
          stroke: SOFT,
          line: 0.2,
        },
  );
  for (let i = 0; i < strokes; i++)
    items.push({
      kind: 'area',
      x: box.x,
      y: foot - ground - (i + 1) * step,
      width: box.width,
      height: thick,
      fill: panel.swatch.hex,
      radius: thick / 2,
    });
  if (panel.clear)
    items.push({
      kind: 'outline',
      x: box.x + 0.12,
      y: foot - ground - (strokes + 1) * step + 0.12,
      width: box.width - 0.24,
      height: thick - 0.24,
      stroke: SOFT,
      line: 0.24,
      radius: (thick - 0.24) / 2,
    });
  return { items, height: ground + rows * step };
}

/** "L* 41.9 ±0.9" and the other two. */
export function labLines({ lab, u95 }: BoardColour): string[] {
  return ['L*', 'a*', 'b*'].map((axis, i) => `${axis} ${signed(lab[i])} ±${u95[i].toFixed(1)}`);
}

function signed(value: number): string {
  const text = Math.abs(value).toFixed(1);
  return value < 0 && text !== '0.0' ? `−${text}` : text;
}

/** The largest of several sizes in which a text takes no more than its lines. */
export function fittedType(
  lettering: Lettering,
  text: string,
  width: number,
  choices: readonly (readonly [size: number, lines: number])[],
  type: Omit<Type, 'size'>,
): readonly [type: Type, lines: number] {
  for (const [size, lines] of choices) {
    const total = textWidth(lettering, text, size, type.weight);
    if (total <= width * lines * (lines > 1 ? 0.9 : 1)) return [{ ...type, size }, lines];
  }
  const [size, lines] = choices[choices.length - 1];
  return [{ ...type, size }, lines];
}
