/** A sheet with one ground's ladder: ratios across, coats down, each in the colour it should have. */
import type { Ladder, LadderSheet } from '../../advise/ladder.ts';
import { textWidth } from '../lettering.ts';
import { screenColour } from '../screen-colour.ts';
import type { Page, PageItem } from './display.ts';
import { printable, type SheetContext, sheetHead, type } from './furniture.ts';
import { INK, line, paragraph, SOFT } from './parts.ts';

export function ladderPage(context: SheetContext, ladder: Ladder, sheet: LadderSheet): Page {
  const { format, lettering, number, count } = context;
  const area = printable(context);
  const s = format.type;
  const head = sheetHead(context);
  const title = type(context, 20, true);
  const text = type(context, 10);
  const small = type(context, 7.4, false, true);
  const top = area.y + head.height;
  const items: PageItem[] = [
    ...head.items,
    ...line(lettering, sheet.title, area.x, top + title.size, area.width, title),
    ...line(
      lettering,
      sheet.subtitle.charAt(0).toUpperCase() + sheet.subtitle.slice(1),
      area.x,
      top + title.size + 1.7 * text.size,
      area.width,
      text,
    ),
  ];
  const left = 9 * s;
  const gridTop = top + title.size + 5.4 * text.size;
  const gap = 1.1 * s;
  const cell = (area.width - left - gap * (sheet.columns.length - 1)) / sheet.columns.length;
  const high = Math.min(cell * 2.1, 27 * s);
  const cellX = (c: number): number => area.x + left + c * (cell + gap);
  const cellY = (r: number): number => gridTop + r * (high + gap);
  sheet.columns.forEach((label, c) => {
    const size = Math.min(
      small.size,
      (small.size * cell) / Math.max(0.1, textWidth(lettering, label, small.size, 'regular')),
    );
    items.push({
      kind: 'text',
      text: label,
      x: cellX(c),
      y: gridTop - 1.6 * s,
      size,
      weight: 'regular',
      fill: SOFT,
    });
  });
  sheet.cells.forEach((row, r) => {
    items.push({
      kind: 'text',
      text: String(sheet.coats[r]),
      x: area.x,
      y: cellY(r) + high / 2,
      size: text.size,
      weight: 'bold',
      fill: INK,
    });
    row.forEach(({ lab, de00, panels }, c) => {
      const { hex, isWithinScreen } = screenColour(lab, ladder.white);
      const ink = lab[0] > 55 ? INK : '#ffffff';
      const box = { x: cellX(c), y: cellY(r), width: cell, height: high };
      items.push({ kind: 'area', ...box, fill: hex });
      const at = (dy: number): number => box.y + dy;
      if (de00 !== undefined)
        items.push({
          kind: 'text',
          text: `${de00.toFixed(1)}${isWithinScreen ? '' : '*'}`,
          x: box.x + 1 * s,
          y: at(high - 1.3 * s),
          size: small.size,
          weight: 'regular',
          fill: ink,
        });
      if (panels.length > 0)
        items.push(
          ...line(
            lettering,
            panels.join(' '),
            box.x + 1 * s,
            at(1.2 * small.size + 0.4 * s),
            cell - 1.6 * s,
            { ...small, weight: 'bold', fill: ink },
          ),
        );
      if (sheet.best && sheet.best[0] === r && sheet.best[1] === c)
        items.push({
          kind: 'outline',
          x: box.x - 0.5 * s,
          y: box.y - 0.5 * s,
          width: cell + s,
          height: high + s,
          stroke: INK,
          line: 0.5 * s,
        });
    });
  });
  const said = [
    ladder.target
      ? `Figures: ΔE from ${ladder.target.name}, from an even hand. Framed: the nearest.`
      : 'From an even hand.',
    'Down the side: coats. Named: panels sprayed so. *: more saturated than a plain screen or this file can show.',
    ...(count > 1 ? [`Sheet ${number} of ${count}`] : []),
  ].join(' ');
  items.push(
    ...paragraph(lettering, said, area.x, cellY(sheet.coats.length) + 3 * s, area.width, small, 4).items,
  );
  return { width_mm: format.width_mm, height_mm: format.height_mm, paper: format.paper, items };
}
