import type { CardDefinition, CardPatch } from '../../../shared/schemas/card.ts';
import { GRID, labFromReflectance, viewing, xyzFromReflectance } from '../color/index.ts';
import { deviceRgbFromXyz } from './device-colour.ts';
import type { CardLayout, LayoutMarker, LayoutPatch } from './layout.ts';
import { printReflectance } from './print-model.ts';

const round = (value: number, digits: number): number => Number(value.toFixed(digits));

function markerOf({ id, at_mm: [x, y], side_mm: s }: LayoutMarker): CardDefinition['markers'][number] {
  return {
    family: '36h11',
    id,
    corners_mm: [
      [x, y],
      [x + s, y],
      [x + s, y + s],
      [x, y + s],
    ],
  };
}

function patchOf(patch: LayoutPatch): CardPatch {
  const under = viewing('D50/2');
  const values = Array.from(printReflectance(patch.inks), (v) => round(v, 4));
  const lab = labFromReflectance(values, under);
  const [x, y, w, h] = patch.rect_mm;
  return {
    id: patch.id,
    role: patch.role,
    rect_mm: [round(x, 3), round(y, 3), round(w, 3), round(h, 3)],
    lab: [round(lab[0], 2), round(lab[1], 2), round(lab[2], 2)],
    u: patch.u,
    ...(patch.replicate_of ? { replicate_of: patch.replicate_of } : {}),
    print: {
      srgb: [...deviceRgbFromXyz(xyzFromReflectance(values, under))],
      cmyk: [...patch.inks],
    },
    spectrum: { start_nm: GRID.start_nm, step_nm: GRID.step_nm, values },
  };
}

/** The nominal definition of a layout: Lab under D50/2, spectra 380–730 nm, source `nominal`. */
export function definitionOfLayout(layout: CardLayout): CardDefinition {
  const { title, rule, lines } = layout.furniture;
  return {
    format: 'sprayout-card/1',
    name: layout.name,
    size_mm: [...layout.size_mm],
    white: 'D50/2',
    source: 'nominal',
    markers: layout.markers.map(markerOf),
    patches: layout.patches.map(patchOf),
    furniture: {
      ...(title ? { title: { ...title, at_mm: [...title.at_mm] } } : {}),
      ...(rule ? { rule: { ...rule, from_mm: [...rule.from_mm] } } : {}),
      lines: lines.map((line) => ({ ...line, from_mm: [...line.from_mm] })),
    },
  };
}

/** A definition as the text of its file: one line a marker and a patch. */
export function definitionText(definition: CardDefinition): string {
  const { markers, patches, ...head } = definition;
  const list = (items: readonly unknown[]): string =>
    items.length === 0 ? '[]' : `[\n${items.map((item) => `    ${JSON.stringify(item)}`).join(',\n')}\n  ]`;
  const fields = Object.entries(head).map(([key, value]) => `  "${key}": ${JSON.stringify(value)}`);
  return `{\n${[...fields, `  "markers": ${list(markers)}`, `  "patches": ${list(patches)}`].join(',\n')}\n}\n`;
}
