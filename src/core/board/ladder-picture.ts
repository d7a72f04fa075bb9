/** The ratio × coats ladder as a picture: one sheet a ground, swatches on a neutral surround, text as outlines. */
import type { Ladder, LadderCell, LadderSheet } from '../advise/ladder.ts';
import type { WhiteName } from '../color/index.ts';
import { type Lettering, textWidth, type Weight } from './lettering.ts';
import { screenColour } from './screen-colour.ts';
import { GREY, lettered, outline, rectangle, short } from './svg.ts';

export interface LadderPicture {
  readonly ground: string;
  readonly svg: string;
  readonly width: number;
  readonly height: number;
}

const CELL = { width: 108, height: 92, gap: 6 } as const;
const MARGIN = 48;
const HEAD = 150;
const LEFT = 120;
const FOOT = 64;

export function ladderPictures(ladder: Ladder, lettering: Lettering): LadderPicture[] {
  return ladder.sheets.map((sheet) => {
    const width = 2 * MARGIN + LEFT + sheet.columns.length * (CELL.width + CELL.gap);
    const height = 2 * MARGIN + HEAD + sheet.coats.length * (CELL.height + CELL.gap) + FOOT;
    const body = [
      rectangle(0, 0, width, height, GREY.surround),
      heading(ladder, sheet, lettering, width),
      axes(sheet, lettering),
      ...sheet.cells.flatMap((row, r) => row.map((cell, c) => drawCell(cell, r, c, ladder, lettering))),
      nextMark(sheet, lettering),
      bestFrame(sheet),
      footnote(ladder, lettering, height),
    ];
    const svg = `<svg xmlns="http://www.w3.org/2000/svg" width="${width}" height="${height}" viewBox="0 0 ${width} ${height}">${body.join('')}</svg>`;
    return { ground: sheet.ground, svg, width, height };
  });
}

const cellX = (c: number): number => MARGIN + LEFT + c * (CELL.width + CELL.gap);
const cellY = (r: number): number => MARGIN + HEAD + r * (CELL.height + CELL.gap);

function heading(ladder: Ladder, sheet: LadderSheet, lettering: Lettering, width: number): string {
  const parts = [
    lettered(lettering, sheet.title, MARGIN, MARGIN + 30, 34, 'bold'),
    lettered(lettering, sheet.subtitle, MARGIN, MARGIN + 62, 20, 'regular'),
  ];
  if (ladder.target) {
    const { hex } = screenColour(ladder.target.lab, ladder.white);
    const x = width - MARGIN - CELL.gap - 160;
    parts.push(rectangle(x, MARGIN, 160, 66, hex));
    const { name } = ladder.target;
    parts.push(
      lettered(
        lettering,
        name,
        x - 14 - textWidth(lettering, name, 20, 'regular'),
        MARGIN + 40,
        20,
        'regular',
      ),
    );
  }
  return parts.join('');
}

function centred(
  lettering: Lettering,
  text: string,
  x: number,
  y: number,
  size: number,
  weight: Weight,
  fill?: string,
): string {
  return lettered(lettering, text, x - textWidth(lettering, text, size, weight) / 2, y, size, weight, fill);
}

function axes(sheet: LadderSheet, lettering: Lettering): string {
  const columns = sheet.columns.map((label, c) => {
    const wide = textWidth(lettering, label, 20, 'bold');
    const size = Math.min(20, (20 * CELL.width) / Math.max(1, wide));
    return centred(lettering, label, cellX(c) + CELL.width / 2, MARGIN + HEAD - 16, size, 'bold');
  });
  const rows = sheet.coats.map((n, r) =>
    lettered(
      lettering,
      `${n} ${n === 1 ? 'coat' : 'coats'}`,
      MARGIN,
      cellY(r) + CELL.height / 2 + 7,
      20,
      'bold',
    ),
  );
  return [...columns, ...rows].join('');
}

function drawCell(
  cell: LadderCell,
  r: number,
  c: number,
  { white }: { white: WhiteName },
  lettering: Lettering,
): string {
  const [x, y] = [cellX(c), cellY(r)];
  const { hex, isWithinScreen } = screenColour(cell.lab, white);
  const ink = cell.lab[0] > 55 ? GREY.ink : GREY.line;
  const parts = [rectangle(x, y, CELL.width, CELL.height, hex)];
  if (cell.de00 !== undefined)
    parts.push(
      centred(
        lettering,
        cell.de00.toFixed(1),
        x + CELL.width / 2,
        y + CELL.height / 2 + 9,
        26,
        'regular',
        ink,
      ),
    );
  if (cell.panels.length > 0)
    parts.push(
      lettered(lettering, cell.panels.slice(0, 3).join(' '), x + 8, y + CELL.height - 9, 14, 'bold', ink),
    );
  // a corner turned down: the screen shows a paler colour than the paint
  if (!isWithinScreen)
    parts.push(`<path fill="${ink}" d="M${short(x + CELL.width - 14)} ${short(y)}h14v14z"/>`);
  return parts.join('');
}

function bestFrame({ best }: LadderSheet): string {
  if (!best) return '';
  const [x, y] = [cellX(best[1]), cellY(best[0])];
  return outline(
    [
      [x, y],
      [x + CELL.width, y],
      [x + CELL.width, y + CELL.height],
      [x, y + CELL.height],
    ],
    4,
  );
}

/** `next` in the corner of the cell that is advised. */
function nextMark({ next, cells }: LadderSheet, lettering: Lettering): string {
  if (!next) return '';
  const [r, c] = next;
  const ink = cells[r][c].lab[0] > 55 ? GREY.ink : GREY.line;
  return lettered(lettering, 'next', cellX(c) + 8, cellY(r) + 19, 16, 'bold', ink);
}

function footnote(ladder: Ladder, lettering: Lettering, height: number): string {
  const said = ladder.target
    ? `Figures: how far from ${ladder.target.name} (ΔE2000), from an even hand. Framed: the nearest here. ${ladder.sheets.some((s) => s.next) ? 'Next: what is advised. ' : ''}Named: panels sprayed so.`
    : 'Colours from an even hand. Named: panels sprayed so.';
  const line = `${said} Turned corner: stronger than a screen can show.`;
  return lettered(lettering, line, MARGIN, height - MARGIN, 16, 'regular');
}
