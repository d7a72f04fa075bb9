/** A sheet that shows several panels on a grid. */

import { isolated } from '../bidi.ts';
import { textWidth } from '../lettering.ts';
import { theOne } from '../shown-text.ts';
import type { BoardPanel } from '../types.ts';
import type { Box, Page, PageItem } from './display.ts';
import { figureOnly, figureThatFits } from './figure.ts';
import { gridFor } from './format.ts';
import { printable, type SheetContext, sheetFoot, sheetHead, type } from './furniture.ts';
import {
  type Block,
  coatStrokes,
  fittedType,
  labLines,
  line,
  meeting,
  paragraph,
  partsBar,
  type Type,
  wholeParagraph,
} from './parts.ts';

export function tiledPage(context: SheetContext, panels: readonly BoardPanel[], perSheet: number): Page {
  const { format, document, lettering } = context;
  const area = printable(context);
  const head = sheetHead(context);
  const foot = sheetFoot(context, panels);
  const [columns, rows] = gridFor(perSheet);
  const gap = (columns === 1 ? 9 : 7) * format.type;
  const soft = type(context, 8, false, true);
  const held = document.target
    ? line(
        lettering,
        `At the right of each: ${isolated(theOne(document.target.name))}`,
        area.x,
        area.y + head.height + 0.2 * soft.size,
        area.width,
        soft,
      )
    : [];
  const top = area.y + head.height + (held.length > 0 ? 1.5 * soft.size : 0);
  const width = (area.width - gap * (columns - 1)) / columns;
  const height = (foot.top - top - gap * (rows - 1)) / rows;
  const { words, deepest } = sheetWords(context, panels, width, height);
  return {
    width_mm: format.width_mm,
    height_mm: format.height_mm,
    paper: format.paper,
    items: [
      ...head.items,
      ...held,
      ...panels.flatMap((panel, i) => {
        const box = {
          x: area.x + (i % columns) * (width + gap),
          y: top + Math.floor(i / columns) * (height + gap),
          width,
          height,
        };
        return columns === 1 ? wideTile(context, panel, box) : tile(context, words[i], deepest, box);
      }),
      ...foot.items,
    ],
  };
}

/** Type by the width of a tile. */
function sizesFor(context: SheetContext, width: number): readonly [name: number, text: number] {
  const room = width / context.format.type;
  return room >= 70 ? [12, 8.6] : room >= 45 ? [9, 7.4] : [7.6, 6.4];
}

/** What is written under a picture. */
interface Written extends Block {
  readonly panel: BoardPanel;
}

/** Width of the coats beside the words, and space before them. */
function strokesWidth({ format }: SheetContext, width: number): number {
  return (width > 70 * format.type ? 12 : 8.5) * format.type;
}

/** How much is written under a picture: all of it, no coats (the strokes show them), no recipe either (the bar does). */
const LEVELS = [0, 1, 2] as const;
type Level = (typeof LEVELS)[number];
/** What of a tile its words may take before less is written. */
const MOST_WORDS = 0.46;

/** The words of a sheet's tiles, as much as leaves the pictures room. */
function sheetWords(
  context: SheetContext,
  panels: readonly BoardPanel[],
  width: number,
  height: number,
): { readonly words: readonly Written[]; readonly deepest: number } {
  const room = width - strokesWidth(context, width) - 4 * context.format.type;
  const step = Math.max(...panels.map((p) => nameStep(context, p.name, room, sizesFor(context, width)[0])));
  for (const level of LEVELS) {
    const words = panels.map((panel) => tileWords(context, panel, width, height, level, step));
    const deepest = Math.max(...words.map((w) => w.height));
    if (deepest <= MOST_WORDS * height || level === LEVELS[LEVELS.length - 1]) return { words, deepest };
  }
  throw new RangeError('no level');
}

/** Smaller sizes of a name, each with the lines it may take. */
const NAME_STEPS = [
  [1, 1],
  [0.86, 2],
  [0.72, 3],
] as const;
/** Longer names are set small by themselves and do not make their neighbours small. */
const LONG_NAME = 48;

function nameStep(context: SheetContext, name: string, room: number, points: number): number {
  if (name.length > LONG_NAME) return 0;
  const fits = NAME_STEPS.findIndex(([factor, lines]) => {
    const { size } = type(context, points * factor);
    return textWidth(context.lettering, name, size, 'bold') <= room * lines * (lines > 1 ? 0.9 : 1);
  });
  return fits < 0 ? NAME_STEPS.length - 1 : fits;
}

/** The words of a tile from the origin down. */
function tileWords(
  context: SheetContext,
  panel: BoardPanel,
  width: number,
  height: number,
  level: Level,
  step: number,
): Written {
  const { lettering, format } = context;
  const s = format.type;
  const [namePoints, textPoints] = sizesFor(context, width);
  const small = type(context, textPoints);
  const soft = type(context, textPoints, false, true);
  const strokes = strokesWidth(context, width);
  const [factor, lines] = NAME_STEPS[panel.name.length > LONG_NAME ? NAME_STEPS.length - 1 : step];
  const name: Type = { ...type(context, namePoints * factor, true), leading: 1.2 };
  const { difference, recipe } = panel;
  const isRoomy = height > 85 * s;
  const besideStrokes = width - strokes - 4 * s;
  const fits = (text: string): boolean =>
    textWidth(lettering, text, small.size, small.weight) <= besideStrokes;
  const said: readonly (readonly [text: string, style: Type, most: number])[] = [
    [panel.name, name, lines],
    ...(difference ? [[figureThatFits(difference, fits), small, 1] as const] : []),
    ...(difference && namePoints > 10
      ? [[isRoomy ? difference.words : firstClause(difference.words), soft, isRoomy ? 2 : 1] as const]
      : []),
    ...(recipe && level < 2 ? [[recipe.words, soft, 1] as const] : []),
    ...(level < 1 || !recipe ? [[panel.build, soft, 1] as const] : []),
  ];
  const items: PageItem[] = [];
  let y = 0;
  for (const [text, style, most] of said) {
    // below the strokes a line may take the whole width
    const room = y > 1.1 * strokes ? width : besideStrokes;
    const block = paragraph(lettering, text, 0, y, room, style, most);
    items.push(...block.items);
    y += block.height + (block.height > 0 ? 0.5 * s : 0);
  }
  return { panel, items, height: y };
}

function firstClause(words: string): string {
  return words.split(';')[0];
}

/** Picture above, words below; all pictures of a sheet are as high as the longest words allow. */
function tile(context: SheetContext, words: Written, deepest: number, box: Box): PageItem[] {
  const s = context.format.type;
  const { panel } = words;
  const bar = 1.8 * s;
  const hero = box.height - deepest - bar - 2.6 * s;
  const top = box.y + hero + bar + 2.2 * s;
  const strokes = strokesWidth(context, box.width);
  return [
    ...meeting(panel, context.document.target, { ...box, height: hero }),
    ...partsBar(panel, { x: box.x, y: box.y + hero + 0.7 * s, width: box.width, height: bar }),
    ...words.items.map((item) => moved(item, box.x, top)),
    ...coatStrokes(panel, {
      x: box.x + box.width - strokes,
      y: top + 0.8 * s,
      width: strokes,
      height: Math.min(1.08 * strokes, deepest - 0.8 * s),
    }).items,
  ];
}

function moved(item: PageItem, x: number, y: number): PageItem {
  return { ...item, x: item.x + x, y: item.y + y };
}

/** Picture to the left, words to the right. */
function wideTile(context: SheetContext, panel: BoardPanel, box: Box): PageItem[] {
  const { document, lettering, format } = context;
  const s = format.type;
  const left = box.width * 0.52;
  const x = box.x + left + 8 * s;
  const width = box.width - left - 8 * s;
  const text = type(context, 9.5);
  const soft = type(context, 9, false, true);
  const [name, lines] = fittedType(
    lettering,
    panel.name,
    width,
    [
      [type(context, 17).size, 2],
      [type(context, 12).size, 3],
      [type(context, 9).size, 5],
    ],
    { weight: 'bold', fill: type(context, 1).fill, leading: 1.18 },
  );
  const items: PageItem[] = meeting(panel, document.target, { ...box, width: left });
  let y = box.y - 0.8 * s;
  const add = (said: string, style: typeof text, most: number, after: number, write = paragraph): void => {
    const block = write(lettering, said, x, y, width, style, most);
    items.push(...block.items);
    y += block.height + (block.height > 0 ? after : 0);
  };
  add(panel.name, name, lines, 1.5 * s);
  if (panel.difference) {
    add(figureOnly(panel.difference), { ...text, weight: 'bold' }, 2, 0);
    add(panel.difference.words, text, 4, 2.2 * s);
  }
  const bar = 6 * s;
  if (panel.recipe) {
    items.push(...partsBar(panel, { x, y: y + 1 * s, width, height: bar }));
    y += bar + 2 * s;
    add([panel.recipe.words, panel.recipe.letdown].filter(Boolean).join('. '), soft, 3, 1.5 * s);
  }
  const left_mm = (): number => box.y + box.height - y;
  const strokes = Math.min(20 * s, box.height * 0.24);
  if (left_mm() > strokes + 14 * s) {
    items.push(...coatStrokes(panel, { x, y: y + 1.5 * s, width: 38 * s, height: strokes }).items);
    y += strokes + 2.6 * s;
  }
  const further = [
    panel.build,
    `${labLines(panel).join(', ')}, under ${document.white}.`,
    ...panel.lights,
    ...panel.remarks,
    panel.origin,
    ...(panel.notes ? [panel.notes] : []),
  ];
  for (const text of further) {
    const lines = Math.floor(left_mm() / (soft.size * soft.leading));
    if (panel.lights.includes(text)) add(text, soft, Math.min(5, lines), 1 * s, wholeParagraph);
    else if (lines > 0) add(text, soft, Math.min(3, lines), 1 * s);
  }
  return items;
}
