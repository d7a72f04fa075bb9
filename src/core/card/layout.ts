import type { PointMm } from '../photo/types.ts';
import type { InkAreas } from './print-model.ts';

/** The project's own card and strips as tables of millimetres and inks; `calibration/cards` is made from them. */

export interface LayoutPatch {
  readonly id: string;
  readonly role: 'neutral' | 'colour';
  readonly rect_mm: readonly [x: number, y: number, w: number, h: number];
  readonly inks: InkAreas;
  /** Standard uncertainty of the nominal colour, ΔE2000. */
  readonly u: number;
  /** The patch of the main card that this one repeats, printed with the same inks. */
  readonly replicate_of?: string;
}

export interface LayoutMarker {
  readonly id: number;
  /** Top-left corner of the tag's black border. */
  readonly at_mm: PointMm;
  /** Side of the tag's black border. */
  readonly side_mm: number;
}

export interface CardLayout {
  readonly name: string;
  readonly size_mm: readonly [number, number];
  readonly markers: readonly LayoutMarker[];
  readonly patches: readonly LayoutPatch[];
  readonly furniture: {
    readonly title?: { readonly at_mm: PointMm; readonly height_mm: number };
    readonly rule?: { readonly from_mm: PointMm; readonly length_mm: number };
    readonly lines: readonly {
      readonly label: string;
      readonly from_mm: PointMm;
      readonly length_mm: number;
    }[];
  };
}

/** Nominal colours of an unmeasured print are this far off, ΔE2000 (common practice, no source). */
const U_GREY = 1.5;
const U_COLOUR = 2.3;

/** From bare paper to the blackest print, lightness in nearly even steps, balanced to neutral. */
const GREY_STEPS: readonly InkAreas[] = [
  [0, 0, 0, 0],
  [0.02, 0.01, 0.02, 0.22],
  [0.07, 0.05, 0.07, 0.39],
  [0.15, 0.09, 0.13, 0.55],
  [0.25, 0.17, 0.23, 0.7],
  [0.37, 0.25, 0.34, 0.85],
  [0.52, 0.4, 0.46, 1],
];

/** Red, yellow, green, cyan, blue and magenta as strong as an sRGB print driver can ask for. */
const FULL: readonly InkAreas[] = [
  [0, 0.98, 0.92, 0.06],
  [0, 0.1, 0.9, 0.02],
  [0.84, 0, 0.84, 0.05],
  [0.74, 0.06, 0.06, 0],
  [0.95, 0.75, 0, 0],
  [0.08, 0.92, 0, 0],
];
/** The hues between, deepened with black: orange, leaf green, teal, azure, violet and rose. */
const BETWEEN: readonly InkAreas[] = [
  [0, 0.62, 0.92, 0.15],
  [0.46, 0.03, 0.9, 0.15],
  [0.82, 0.04, 0.5, 0.2],
  [0.84, 0.4, 0, 0.15],
  [0.62, 0.88, 0, 0.2],
  [0, 0.88, 0.35, 0.2],
];
const HALF: readonly InkAreas[] = FULL.map(([c, m, y, k]): InkAreas => [c / 2, m / 2, y / 2, k / 2]);

/** The field between the tags: everything on the card hangs on these edges. */
const FIELD = { left: 27, top: 27, width: 94, gap: 0.5, row: 12 } as const;

function rowOf(y: number, h: number, count: number): LayoutPatch['rect_mm'][] {
  const w = (FIELD.width - (count - 1) * FIELD.gap) / count;
  return Array.from({ length: count }, (_, i) => [FIELD.left + i * (w + FIELD.gap), y, w, h]);
}

function columnOf(x: number, w: number, count: number): LayoutPatch['rect_mm'][] {
  return Array.from({ length: count }, (_, i) => [x, FIELD.top + i * (FIELD.row + FIELD.gap), w, FIELD.row]);
}

function colours(prefix: string, y: number, inks: readonly InkAreas[]): LayoutPatch[] {
  return rowOf(y, FIELD.row, inks.length).map((rect_mm, i) => {
    return { id: `${prefix}${i + 1}`, role: 'colour', rect_mm, inks: inks[i], u: U_COLOUR };
  });
}

/** White and mid-grey patches that repeat N1 and N4: W or G with a number. */
function replicates(
  rects: readonly LayoutPatch['rect_mm'][],
  areWhite: readonly boolean[],
  prefix = '',
): LayoutPatch[] {
  let white = 0;
  let grey = 0;
  return rects.map((rect_mm, i): LayoutPatch => {
    const common = { role: 'neutral', rect_mm, u: U_GREY } as const;
    return areWhite[i]
      ? { id: `${prefix}W${++white}`, ...common, inks: GREY_STEPS[0], replicate_of: 'N1' }
      : { id: `${prefix}G${++grey}`, ...common, inks: GREY_STEPS[3], replicate_of: 'N4' };
  });
}

function alternating(count: number, first: boolean): boolean[] {
  return Array.from({ length: count }, (_, i) => (i % 2 === 0) === first);
}

const rowY = (row: number): number => FIELD.top + row * (FIELD.row + FIELD.gap);

/** The bench card, A6 landscape. */
export const CARD_LAYOUT: CardLayout = {
  name: 'Bench card A6',
  size_mm: [148, 105],
  markers: [
    { id: 101, at_mm: [4, 4], side_mm: 20 },
    { id: 102, at_mm: [124, 4], side_mm: 20 },
    { id: 103, at_mm: [124, 81], side_mm: 20 },
    { id: 104, at_mm: [4, 81], side_mm: 20 },
  ],
  patches: [
    ...rowOf(rowY(2), FIELD.row, 7).map(
      (rect_mm, i): LayoutPatch => ({
        id: `N${i + 1}`,
        role: 'neutral',
        rect_mm,
        inks: GREY_STEPS[i],
        u: U_GREY,
      }),
    ),
    ...colours('F', rowY(0), FULL),
    ...colours('B', rowY(1), BETWEEN),
    ...colours('H', rowY(3), HALF),
    ...replicates(
      [...rowOf(4, 9, 7), ...columnOf(124, 20, 4), ...rowOf(92, 9, 7), ...columnOf(4, 20, 4)],
      [...alternating(7, true), ...alternating(4, false), ...alternating(7, false), ...alternating(4, true)],
    ),
  ],
  furniture: {
    title: { at_mm: [27, 17.6], height_mm: 2.6 },
    rule: { from_mm: [29, 24.5], length_mm: 90 },
    lines: [
      { label: 'job', from_mm: [27, 83.6], length_mm: 94 },
      { label: 'panel', from_mm: [27, 90.2], length_mm: 94 },
    ],
  },
};

/** A narrow grey strip with one tag in its middle, to lie beyond the panels. */
function stripLayout(number: 1 | 2): CardLayout {
  const left = [5, 16.5, 28, 39.5];
  const rects = [...left, ...left.map((x) => x + 64.5)].map((x): LayoutPatch['rect_mm'] => [x, 2, 11, 12]);
  const order = [...alternating(4, true), ...alternating(4, false)];
  return {
    name: `Bench strip ${number}`,
    size_mm: [120, 16],
    markers: [{ id: 110 + number, at_mm: [54, 2], side_mm: 12 }],
    patches: replicates(rects, order, `S${number}`),
    furniture: { lines: [] },
  };
}

export const STRIP_LAYOUTS: readonly CardLayout[] = [stripLayout(1), stripLayout(2)];
