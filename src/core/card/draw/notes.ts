import type { PointMm } from '../../photo/types.ts';
import type { CardDefinition } from '../types.ts';
import { patchMap } from './patch-map.ts';
import { type Strokes, type TextStyle, type Typeface, type Typefaces, textLine, wrapped } from './pen.ts';
import { COLUMN_MM } from './sheet.ts';

const PRINTING: readonly string[] = [
  'Matt photo or presentation paper, never gloss, without optical brightener if you can get it (it must not shine blue under a UV lamp). Set the printer to that paper and to its best quality.',
  'Scale 100 %, “actual size”. Not “fit to page”.',
  'The colours are sRGB. Leave colour management on, done by the printer’s driver; switch off “vivid”, photo enhancing and ink saving.',
  'Check the 100 mm line with a ruler.',
  'Let the ink dry an hour at least, overnight before an instrument reads it.',
  'Cut along the marks and glue the card to a stiff board: it must lie flat. Keep it clean and in the dark.',
  'Print a new one when it has faded, is scuffed or has caught spray.',
];

/** How to lay a card, with or without markers, alone or with strips. */
function useOf(hasMarkers: boolean, hasStrips: boolean): readonly string[] {
  const whole = hasMarkers
    ? 'all black squares in the picture and free of paint'
    : 'the whole card in the picture';
  return [
    `Card and panels in one plane, side by side, ${whole}.`,
    ...(hasStrips ? ['Strips, if you have room, on the far side of the panels.'] : []),
    'Square to the camera, no lamp mirrored in card or panel.',
  ];
}

const ABOUT = {
  nominal:
    'Colours stated for this card are nominal: sound for comparing panels in one photo. For colours that hold from card to card, have the print read by an instrument.',
  measured: 'Colours of this card are an instrument’s readings of one print. They hold for that print alone.',
  adopted: 'Colours of this card were read from a photo of one print. They hold for that print alone.',
} as const;

const LEADING_MM = 3.35;
const INDENT_MM = 3.4;
const LEFT_MM = 70;
const RIGHT_MM = 70;
const MAP_MM = [58, 48] as const;

/** Height that the notes need, mm. */
export const NOTES_MM = 70;

/** Strokes that end at a height. */
interface Block {
  readonly strokes: Strokes;
  readonly end_y: number;
}

/** How to print and use the card and how its patches are called, in two columns below `y`. */
export function printingNotes(
  [card, ...strips]: readonly CardDefinition[],
  [x, y]: PointMm,
  faces: Typefaces,
): Strokes {
  const body: TextStyle = { face: faces.plain, cap_mm: 1.75, grey: 0.1 };
  const right = x + COLUMN_MM - RIGHT_MM;
  const printing = headedList('To print', PRINTING, [x, y], LEFT_MM, faces.bold, body);
  const about = ABOUT[card.source];
  const use = useOf(card.markers.length > 0, strips.length > 0);
  const use_y = y + MAP_MM[1] + 2;
  return [
    ...printing.strokes,
    ...paragraph(about, [x, printing.end_y + 1], LEFT_MM, { ...body, grey: 0.35 }).strokes,
    ...patchMap(card, [right, y], MAP_MM, faces),
    ...headedList('To use', use, [right, use_y], RIGHT_MM, faces.bold, body).strokes,
  ];
}

function headedList(
  title: string,
  items: readonly string[],
  [x, y]: PointMm,
  width_mm: number,
  titleFace: Typeface,
  style: TextStyle,
): Block {
  const strokes = [...textLine(title, [x, y + 2], { face: titleFace, cap_mm: 2.1 })];
  let row_y = y + 6;
  items.forEach((item, i) => {
    strokes.push(...textLine(`${i + 1}`, [x, row_y], { ...style, grey: 0.45 }));
    const block = paragraph(item, [x + INDENT_MM, row_y], width_mm - INDENT_MM, style);
    strokes.push(...block.strokes);
    row_y = block.end_y + 0.55;
  });
  return { strokes, end_y: row_y };
}

function paragraph(text: string, [x, y]: PointMm, width_mm: number, style: TextStyle): Block {
  const rows = wrapped(text, width_mm, style);
  return {
    strokes: rows.flatMap((row, i) => textLine(row, [x, y + i * LEADING_MM], style)),
    end_y: y + rows.length * LEADING_MM,
  };
}
