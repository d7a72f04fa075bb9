/** What every sheet carries besides its panels: title above, what the figures mean and the code below. */
import { boardCode, codeModules, QUIET_MODULES } from '../code.ts';
import { boardRecord } from '../document.ts';
import type { Lettering } from '../lettering.ts';
import type { BoardDocument, BoardPanel } from '../types.ts';
import { type Box, fromPoints, type PageItem } from './display.ts';
import type { SheetFormat } from './format.ts';
import { INK, line, paragraph, SOFT, type Type } from './parts.ts';

export interface SheetContext {
  readonly document: BoardDocument;
  readonly format: SheetFormat;
  readonly lettering: Lettering;
  /** From 1. */
  readonly number: number;
  readonly count: number;
}

/** Type of a size in points at the sheet's own scale. */
export function type({ format }: SheetContext, points: number, bold = false, soft = false): Type {
  return {
    size: fromPoints(points) * format.type,
    weight: bold ? 'bold' : 'regular',
    fill: soft ? SOFT : INK,
    leading: 1.32,
  };
}

/** What a margin leaves of the sheet. */
export function printable({ format }: SheetContext): Box {
  const { width_mm, height_mm, margin_mm } = format;
  return {
    x: margin_mm,
    y: margin_mm,
    width: width_mm - 2 * margin_mm,
    height: height_mm - 2 * margin_mm,
  };
}

/** Title to the left, maker and date to the right. Returns how deep it is with the space under it. */
export function sheetHead(context: SheetContext): { readonly items: PageItem[]; readonly height: number } {
  const { document, lettering } = context;
  const area = printable(context);
  const bold = type(context, 9, true);
  const soft = type(context, 9, false, true);
  const baseline = area.y + bold.size * 0.8;
  const right = [document.maker, document.date].filter(Boolean).join(', ');
  return {
    items: [
      ...line(lettering, document.title, area.x, baseline, area.width * (right ? 0.5 : 1), bold),
      ...(right ? line(lettering, right, area.x + area.width, baseline, area.width * 0.48, soft, 'end') : []),
    ],
    height: bold.size * 2.3,
  };
}

const SHORT_MEANING = 'ΔE is CIEDE2000. No screen shows a true colour: judge the panel itself.';
const MEANING =
  'ΔE is CIEDE2000; “between” and ± hold 95 times of 100. No screen or print shows a true colour: judge the panel itself.';

export interface SheetFoot {
  readonly items: PageItem[];
  /** Above all of it. */
  readonly top: number;
  /** Above what is written. */
  readonly textTop: number;
  /** The code with its quiet zone. */
  readonly code: Box;
}

/** At the foot: the code of the panels shown, and beside it what is to be said. Returns its top. */
export function sheetFoot(context: SheetContext, panels: readonly BoardPanel[]): SheetFoot {
  const { document, format, lettering, number, count } = context;
  const area = printable(context);
  const side = format.code_mm;
  const foot = area.y + area.height;
  const modules = codeModules(boardCode(boardRecord(document, panels), format.code_bytes));
  const quiet = (QUIET_MODULES * side) / modules.length;
  const small = type(context, 6.6, false, true);
  const width = area.width - side - 2 * quiet - 6 * format.type;
  const isLast = number === count;
  const texts = [
    ...(panels.length === 1 && format.columns === 3 ? [panels[0].origin] : []),
    format.columns === 3 ? `${MEANING} The code finds this record again in the app.` : SHORT_MEANING,
    ...(isLast && format.columns === 3 ? document.cautions : []),
    ...(count > 1 ? [`Sheet ${number} of ${count}`] : []),
  ];
  const items: PageItem[] = [];
  const blocks = texts.map((text) => paragraph(lettering, text, area.x, 0, width, small, 4));
  const gap = 0.45 * small.size;
  const height = blocks.reduce((sum, b) => sum + b.height + gap, -gap);
  const top = foot - Math.max(height, side);
  let y = foot - height;
  for (const text of texts) {
    const block = paragraph(lettering, text, area.x, y, width, small, 4);
    items.push(...block.items);
    y += block.height + gap;
  }
  // on tinted paper the quiet zone is a white plate, whose edges keep the margins; on white paper it may lie in them
  const isTinted = format.paper !== '#ffffff';
  const inset = isTinted ? quiet : 0;
  const x = area.x + area.width - side - inset;
  const code = {
    x: x - quiet,
    y: foot - side - inset - quiet,
    width: side + 2 * quiet,
    height: side + 2 * quiet,
  };
  if (isTinted) items.push({ kind: 'area', ...code, fill: '#ffffff' });
  items.push({ kind: 'modules', x, y: foot - side - inset, side, modules });
  return { items, top: top - 6 * format.type, textTop: foot - height, code };
}
