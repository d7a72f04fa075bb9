/** A sheet that shows one panel. */

import { partWords } from '../recipe.ts';
import type { BoardPanel } from '../types.ts';
import type { Box, Page, PageItem } from './display.ts';
import { printable, type SheetContext, sheetFoot, sheetHead, type } from './furniture.ts';
import {
  type Block,
  coatStrokes,
  fittedType,
  labLines,
  letdownBar,
  line,
  meeting,
  paragraph,
  partColour,
  partsBar,
  SOFT,
  wholeParagraph,
} from './parts.ts';

/** Shares of the sheet's height that the pictures take at least, and at most. */
const LEAST_PICTURE = 0.28;
const MOST_PICTURE = 0.5;

export function singlePage(context: SheetContext, panel: BoardPanel): Page {
  const { document, format, lettering } = context;
  const area = printable(context);
  const scale = format.type;
  const isPicture = format.columns === 2;
  const head = sheetHead(context);
  const foot = sheetFoot(context, [panel]);
  const [nameType, nameLines] = fittedType(
    lettering,
    panel.name,
    area.width,
    [
      [type(context, isPicture ? 20 : 26).size, 1],
      [type(context, isPicture ? 16 : 20).size, 2],
      [type(context, isPicture ? 12 : 14).size, 3],
      [type(context, isPicture ? 8.5 : 10.5).size, 5],
    ],
    { weight: 'bold', fill: type(context, 1).fill, leading: 1.16 },
  );
  const caption = type(context, 8, false, true);
  const figure = type(context, isPicture ? 10.5 : 12.5, true);
  const body = type(context, isPicture ? 10.5 : 12.5);
  const small = type(context, 8.5, false, true);
  const written = (x: number, y: number): Block => {
    const items: PageItem[] = [];
    let at = y;
    const add = (block: Block, after: number): void => {
      items.push(...block.items);
      at += block.height + (block.height > 0 ? after : 0);
    };
    add(paragraph(lettering, panel.name, x, at, area.width, nameType, nameLines), 1.6 * scale);
    if (panel.difference) {
      add(paragraph(lettering, panel.difference.figure, x, at, area.width, figure, 2), 0);
      add(paragraph(lettering, panel.difference.words, x, at, area.width, body, 3), 0);
    }
    return { items, height: at - y };
  };
  const columnsHeight = (isPicture ? 35 : 41) * scale;
  // in a picture the columns stand beside the code, not above it
  const bottom = isPicture ? foot.textTop - 2 * scale : foot.top;
  const columnsWidth = isPicture ? foot.code.x - area.x - 6 * scale : area.width;
  const text = written(area.x, 0).height;
  const heroTop = area.y + head.height;
  const captionHeight = caption.size * 2.6;
  const gaps = (isPicture ? 6 : 13) * scale;
  const room = bottom - heroTop - captionHeight - text - columnsHeight - gaps;
  const least = LEAST_PICTURE * format.height_mm;
  const below = (y: number): Block =>
    furtherLines(context, panel, { x: area.x, y, width: columnsWidth, height: room - least }, small);
  const hero = Math.max(least, Math.min(MOST_PICTURE * format.height_mm, room - below(0).height));
  const nameTop = heroTop + hero + captionHeight + 1.5 * scale;
  const columnsTop = nameTop + text + (isPicture ? 4.5 : 7) * scale;
  return {
    width_mm: format.width_mm,
    height_mm: format.height_mm,
    paper: format.paper,
    items: [
      ...head.items,
      ...meeting(panel, document.target, { x: area.x, y: heroTop, width: area.width, height: hero }),
      ...captions(context, panel, area, heroTop + hero + caption.size * 1.5),
      ...written(area.x, nameTop).items,
      ...columns(context, panel, { x: area.x, y: columnsTop, width: columnsWidth, height: columnsHeight }),
      ...(isPicture ? figures(context, panel, { ...foot.code, y: columnsTop }) : []),
      ...below(columnsTop + columnsHeight).items,
      ...foot.items,
    ],
  };
}

/** Under the pictures: which is which. */
function captions(context: SheetContext, panel: BoardPanel, area: Box, baseline: number): PageItem[] {
  const { document, lettering } = context;
  const caption = type(context, 8, false, true);
  const own = document.target ? 0.74 * area.width : area.width;
  const label = panel.picture ? 'Photo, corrected to the card' : 'Swatch of the measured colour';
  return [
    ...line(lettering, label, area.x, baseline, own - 4, caption),
    ...(document.target
      ? line(lettering, document.target.name, area.x + own, baseline, area.width - own, caption)
      : []),
  ];
}

function columns(context: SheetContext, panel: BoardPanel, box: Box): PageItem[] {
  const { format } = context;
  const gap = (format.columns === 2 ? 6 : 9) * format.type;
  const width = (box.width - gap * (format.columns - 1)) / format.columns;
  const place = (i: number): Box => ({ ...box, x: box.x + i * (width + gap), width });
  return [
    ...recipeColumn(context, panel, place(0)),
    ...coatsColumn(context, panel, place(1)),
    ...(format.columns === 3 ? colourColumn(context, panel, place(2)) : []),
  ];
}

function heading(context: SheetContext, text: string, { x, y, width }: Box): PageItem[] {
  const soft = type(context, 8, false, true);
  return line(context.lettering, text, x, y + soft.size * 0.8, width, soft);
}

/** From the top of a column to the top of what it shows. */
const HEADING_MM = 5.4;

function recipeColumn(context: SheetContext, panel: BoardPanel, box: Box): PageItem[] {
  const { lettering, format } = context;
  const s = format.type;
  const text = type(context, format.columns === 2 ? 8.4 : 9);
  const soft = { ...text, fill: SOFT };
  const items = heading(context, 'Recipe', box);
  let y = box.y + HEADING_MM * s;
  const bar = (format.columns === 2 ? 5.5 : 8) * s;
  if (!panel.recipe)
    return [
      ...items,
      ...paragraph(
        lettering,
        panel.coats === 0 ? 'Bare ground, nothing over it' : 'Not written down',
        box.x,
        y,
        box.width,
        soft,
        2,
      ).items,
    ];
  items.push(...partsBar(panel, { x: box.x, y, width: box.width, height: bar }));
  y += bar + 2.2 * s;
  const { parts } = panel.recipe;
  parts.slice(0, 4).forEach((part, i) => {
    const dot = 0.62 * text.size;
    items.push({
      kind: 'area',
      x: box.x,
      y: y + 0.37 * text.size,
      width: dot,
      height: dot,
      fill: partColour(part.colour, i),
    });
    const row = line(
      lettering,
      partWords(part, parts),
      box.x + 1.7 * dot,
      y + text.size,
      box.width - 1.7 * dot,
      text,
    );
    items.push(...row);
    y += text.size * text.leading;
  });
  y += 1.8 * s;
  items.push(...letdownBar(panel, { x: box.x, y, width: box.width, height: 1.7 * s }));
  if (panel.recipe.carrier) y += 3 * s;
  items.push(...paragraph(lettering, panel.recipe.letdown, box.x, y, box.width, soft, 3).items);
  return items;
}

function coatsColumn(context: SheetContext, panel: BoardPanel, box: Box): PageItem[] {
  const { lettering, format } = context;
  const s = format.type;
  const text = type(context, format.columns === 2 ? 8.4 : 9);
  const top = box.y + HEADING_MM * s;
  const high = (format.columns === 2 ? 15 : 21) * s;
  const strokes = coatStrokes(panel, { x: box.x, y: top, width: box.width, height: high });
  return [
    ...heading(context, 'Coats', box),
    ...strokes.items,
    ...paragraph(lettering, panel.build, box.x, top + high + 1.4 * s, box.width, text, 3).items,
  ];
}

function colourColumn(context: SheetContext, panel: BoardPanel, box: Box): PageItem[] {
  const { document, lettering, format } = context;
  const s = format.type;
  const text = type(context, 9);
  const soft = type(context, 9, false, true);
  const top = box.y + HEADING_MM * s;
  const side = 21 * s;
  const items: PageItem[] = [
    ...heading(context, `Colour under ${document.white}`, box),
    { kind: 'area', x: box.x, y: top, width: side, height: side, fill: panel.swatch.hex },
  ];
  labLines(panel).forEach((row, i) => {
    items.push(
      ...line(
        lettering,
        row,
        box.x + side + 4 * s,
        top + text.size * (0.9 + 1.55 * i),
        box.width - side - 4 * s,
        text,
      ),
    );
  });
  const said = panel.remarks[0] ?? 'Swatch: the mean colour';
  items.push(...paragraph(lettering, said, box.x, top + side + 1.4 * s, box.width, soft, 4).items);
  return items;
}

/** The measured colour in figures, above the code of a picture. */
function figures(context: SheetContext, panel: BoardPanel, box: Box): PageItem[] {
  const text = type(context, 8.4);
  const top = box.y + HEADING_MM * context.format.type;
  return [
    ...heading(context, `Under ${context.document.white}`, box),
    ...labLines(panel).flatMap((row, i) =>
      line(context.lettering, row, box.x, top + text.size * (0.9 + 1.36 * i), box.width, text),
    ),
  ];
}

/** Remarks, lights and notes, across the sheet, as far as there is room. */
function furtherLines(
  context: SheetContext,
  panel: BoardPanel,
  box: Box,
  small: ReturnType<typeof type>,
): Block {
  const { document, lettering, format } = context;
  const items: PageItem[] = [];
  let y = box.y;
  const linesLeft = (): number => Math.floor((box.y + box.height - y) / (small.size * small.leading));
  const add = (text: string, most: number, write = paragraph): void => {
    const block = write(lettering, text, box.x, y, box.width, small, Math.min(most, linesLeft()));
    items.push(...block.items);
    y += block.height;
  };
  if (format.columns === 2 && panel.remarks.length > 0) add(panel.remarks[0], 2);
  for (const said of panel.lights.slice(0, 4)) add(said, 4, wholeParagraph);
  if (panel.notes) add(panel.notes, 6);
  if (document.notes) add(document.notes, 6);
  return { items, height: y - box.y };
}
