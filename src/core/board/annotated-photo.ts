/** The annotated picture: a measured photo with card and panels outlined, and what was measured beside it. */
import type { Lab, WhiteName } from '../color/index.ts';
import type { Vec3 } from '../math/linear.ts';
import type { QuadPx } from '../photo/types.ts';
import { capitalised, type LegendDifference, type LegendEntry, legendEntry } from './legend.ts';
import { type Lettering, wrapText } from './lettering.ts';
import { outlinesOn } from './photo-outlines.ts';
import { escaped, GREY, lettered } from './svg.ts';

/** What the picture shows of a measured photo; a `MeasuredPhoto` is one. */
export interface PicturedPhoto {
  readonly card: { readonly name: string; readonly corners_px: QuadPx };
  readonly white: WhiteName;
  readonly panels: readonly {
    readonly id: string;
    readonly corners_px: QuadPx;
    readonly lab: Lab;
    readonly u95: Vec3;
  }[];
}

export interface AnnotatedPhotoOptions {
  /** Size of the photo in its own pixels, after orientation: what the corners are given in. */
  readonly width_px: number;
  readonly height_px: number;
  readonly photo: PicturedPhoto;
  /** Width of the picture. Default 1800; everything scales with it. */
  readonly picture_px?: number | undefined;
  readonly title?: string | undefined;
  /** How well the card was read, in a sentence. */
  readonly check?: string | undefined;
  /** By panel id: what the painter calls it. */
  readonly names?: ReadonlyMap<string, string> | undefined;
  /** By panel id: how far from the target. */
  readonly differences?: ReadonlyMap<string, LegendDifference> | undefined;
  /** By panel id: what to mind, in a few words. */
  readonly remarks?: ReadonlyMap<string, readonly string[]> | undefined;
  /** Panel that is the target; `target` unless said otherwise. */
  readonly targetId?: string | undefined;
  /** Colours to show instead of this photo's own readings, such as those of several photos joined. */
  readonly colours?: ReadonlyMap<string, { readonly lab: Lab; readonly u95: Vec3 }> | undefined;
  /** Address of the photo (a data: address, say), to make the SVG whole by itself. Without it the photo's place is left clear. */
  readonly photoAddress?: string | undefined;
  /** Share trimmed of a panel before it was read: drawn as a finer line. Default .12. */
  readonly margin?: number | undefined;
}

export interface AnnotatedPhoto {
  readonly svg: string;
  readonly width: number;
  readonly height: number;
  /** Where the photo goes, in whole pixels of the picture. */
  readonly photoAt: {
    readonly x: number;
    readonly y: number;
    readonly width: number;
    readonly height: number;
  };
}

const DESIGN_WIDTH = 1800;
const EDGE = 28;
const COLUMN = 640;
/** A legend this much taller than the photo beside it goes below it, in three columns. */
const TALLEST_BESIDE = 1.5;

/** Draws the picture; lay the photo, scaled to `photoAt`, under it. All text is outlines: no fonts are needed to show it. */
export function annotatedPhotoSvg(options: AnnotatedPhotoOptions, lettering: Lettering): AnnotatedPhoto {
  const width = Math.round(options.picture_px ?? DESIGN_WIDTH);
  const s = width / DESIGN_WIDTH;
  const edge = Math.round(EDGE * s);
  const beside = entriesOf(options, lettering, COLUMN * s, s);
  const photoWidth = width - 3 * edge - Math.round(COLUMN * s);
  const scaledHeight = (w: number): number => Math.round((w * options.height_px) / options.width_px);
  const note = noteLines(options, lettering, photoWidth, s);
  const besideHeight = heightOf(beside);
  if (besideHeight <= TALLEST_BESIDE * (scaledHeight(photoWidth) + note.height)) {
    const photoAt = { x: edge, y: edge, width: photoWidth, height: scaledHeight(photoWidth) };
    const below = edge + photoAt.height + 8 * s;
    const column = stacked(beside, edge + photoWidth + edge, edge);
    const height = Math.ceil(Math.max(below + note.height, edge + besideHeight) + edge);
    return picture(options, lettering, s, width, height, photoAt, column + note.draw(edge, below));
  }
  const columnWidth = (width - 4 * edge) / 3;
  const below = entriesOf(options, lettering, columnWidth, s);
  const photoAt = { x: edge, y: edge, width: width - 2 * edge, height: scaledHeight(width - 2 * edge) };
  const wideNote = noteLines(options, lettering, photoAt.width, s);
  const noteTop = edge + photoAt.height + 8 * s;
  const top = noteTop + wideNote.height + edge;
  const { columns, tallest } = inColumns(below, 3);
  const drawn = columns.map((entries, i) => stacked(entries, edge + i * (columnWidth + edge), top)).join('');
  const height = Math.ceil(top + tallest + edge);
  return picture(options, lettering, s, width, height, photoAt, wideNote.draw(edge, noteTop) + drawn);
}

function entriesOf(
  { photo, names, differences, remarks, colours, targetId = 'target' }: AnnotatedPhotoOptions,
  lettering: Lettering,
  width: number,
  scale: number,
): LegendEntry[] {
  const shown = photo.panels.map((panel) => ({ ...panel, ...colours?.get(panel.id) }));
  const target = shown.find((panel) => panel.id === targetId);
  const style = { lettering, scale, white: photo.white, target: target?.lab };
  return shown.map(({ id, lab, u95 }) =>
    legendEntry(
      {
        id,
        name: names?.get(id),
        lab,
        u95,
        difference: id === targetId ? undefined : differences?.get(id),
        remarks: remarks?.get(id),
      },
      width,
      style,
    ),
  );
}

function heightOf(entries: readonly LegendEntry[]): number {
  return entries.reduce((sum, entry) => sum + entry.height, 0);
}

function stacked(entries: readonly LegendEntry[], x: number, y: number): string {
  let top = y;
  return entries
    .map((entry) => {
      const drawn = entry.draw(x, top);
      top += entry.height;
      return drawn;
    })
    .join('');
}

/** Entries in order, down one column and then the next, as evenly as whole entries allow. */
function inColumns(
  entries: readonly LegendEntry[],
  count: number,
): { columns: LegendEntry[][]; tallest: number } {
  const share = Math.ceil(entries.length / count);
  const columns = Array.from({ length: count }, (_, i) => entries.slice(i * share, (i + 1) * share));
  return { columns, tallest: Math.max(0, ...columns.map(heightOf)) };
}

function noteLines(
  { title, check, photo, differences }: AnnotatedPhotoOptions,
  lettering: Lettering,
  width: number,
  s: number,
): LegendEntry {
  const lines: { text: string; size: number; weight: 'regular' | 'bold'; down: number }[] = [];
  const add = (text: string, size: number, weight: 'regular' | 'bold', first: number, next: number): void => {
    for (const [i, line] of wrapText(lettering, text, size * s, weight, width, 3).entries())
      lines.push({ text: line, size: size * s, weight, down: (i === 0 ? first : next) * s });
  };
  if (title) add(title, 36, 'bold', 44, 42);
  if (check) add(`${capitalised(check)}.`, 23, 'regular', 38, 30);
  add(`L*, a*, b* as seen under ${whiteWords(photo.white)}.`, 19, 'regular', 34, 26);
  const compared = differences && differences.size > 0;
  add(
    compared
      ? 'Swatches: panel above, target below. ΔE from the target; its range, and ±, hold 95 times of 100.'
      : '± holds 95 times of 100.',
    19,
    'regular',
    26,
    26,
  );
  return {
    height: lines.reduce((sum, line) => sum + line.down, 0) + 8 * s,
    draw: (x, y) => {
      let baseline = y;
      return lines
        .map(({ text, size, weight, down }) => {
          baseline += down;
          return lettered(lettering, text, x, baseline, size, weight);
        })
        .join('');
    },
  };
}

/** `D50/2` in words. */
function whiteWords(white: WhiteName): string {
  const [illuminant, observer] = white.split('/');
  return observer === undefined ? illuminant : `illuminant ${illuminant}, ${observer}° observer`;
}

function picture(
  options: AnnotatedPhotoOptions,
  lettering: Lettering,
  s: number,
  width: number,
  height: number,
  photoAt: AnnotatedPhoto['photoAt'],
  around: string,
): AnnotatedPhoto {
  const { x, y } = photoAt;
  const { title, photoAddress, photo, width_px, margin = 0.12 } = options;
  const surround = `M0 0H${width}V${height}H0ZM${x} ${y}V${y + photoAt.height}H${x + photoAt.width}V${y}Z`;
  const image =
    photoAddress === undefined
      ? ''
      : `<image x="${x}" y="${y}" width="${photoAt.width}" height="${photoAt.height}" href="${escaped(photoAddress)}"/>`;
  const svg = [
    `<svg xmlns="http://www.w3.org/2000/svg" width="${width}" height="${height}" viewBox="0 0 ${width} ${height}">`,
    `<title>${escaped(title ?? `Panels measured beside ${photo.card.name}`)}</title>`,
    image,
    `<path d="${surround}" fill="${GREY.surround}"/>`,
    outlinesOn(photo, photoAt, photoAt.width / width_px, margin, lettering, s),
    around,
    '</svg>',
  ].join('');
  return { svg, width, height, photoAt };
}
