import type { CardFurniture } from '../../../../shared/schemas/card.ts';
import type { PointMm } from '../../photo/types.ts';
import { type DeviceRgb, deviceRgbFromLab } from '../device-colour.ts';
import { rectangle } from '../overlap.ts';
import { labOfPatch } from '../patch-colour.ts';
import type { CardDefinition, CardPatch } from '../types.ts';
import {
  filled,
  fitted,
  lines,
  roundedOutline,
  type Strokes,
  type Typefaces,
  textLine,
  textWidth,
} from './pen.ts';
import { rule } from './rule.ts';
import { drawMarker } from './tag.ts';

/** What the printer is asked for: as the definition states, else from the patch's colour. */
export function printedRgb(patch: CardPatch, white: string): DeviceRgb {
  return patch.print?.srgb ?? deviceRgbFromLab(labOfPatch(patch, white));
}

function isPaper(rgb: DeviceRgb): boolean {
  return rgb.every((v) => v === 255);
}

/** A card as printed, its top left corner at the origin. */
export function drawCard(card: CardDefinition, faces: Typefaces): Strokes {
  return [
    ...card.markers.flatMap(drawMarker),
    ...card.patches.flatMap((patch) => drawPatch(patch, card.white)),
    ...(card.furniture ? drawFurniture(card.furniture, card, faces) : []),
  ];
}

/** A patch as a filled area; bare paper as a faint outline, so that nobody writes on it. */
function drawPatch(patch: CardPatch, white: string): Strokes {
  const rgb = printedRgb(patch, white);
  return isPaper(rgb)
    ? roundedOutline(patch.rect_mm, 0, 0.08, 0.75)
    : filled([rectangle(patch.rect_mm)], rgb);
}

function drawFurniture(
  furniture: CardFurniture,
  { name, size_mm }: CardDefinition,
  faces: Typefaces,
): Strokes {
  const { title, rule: scale, lines: writeOn } = furniture;
  return [
    ...(title ? drawTitle(name, title, size_mm[0] - 2 * title.at_mm[0], faces) : []),
    ...(scale ? rule(scale.from_mm, scale.length_mm, faces.plain, 1) : []),
    ...writeOn.flatMap((line) => writeOnLine(line.label, line.from_mm, line.length_mm, faces)),
  ];
}

function drawTitle(
  name: string,
  { at_mm, height_mm }: NonNullable<CardFurniture['title']>,
  width_mm: number,
  faces: Typefaces,
): Strokes {
  return textLine(name, at_mm, fitted(name, width_mm, { face: faces.bold, cap_mm: height_mm }));
}

function writeOnLine(label: string, [x, y]: PointMm, length_mm: number, faces: Typefaces): Strokes {
  const style = { face: faces.plain, cap_mm: 1.7, grey: 0.35 };
  const start = x + textWidth(label, style) + 1.5;
  return [
    ...textLine(label, [x, y], style),
    ...lines(
      [
        [
          [start, y],
          [x + length_mm, y],
        ],
      ],
      0.15,
      0.35,
    ),
  ];
}
