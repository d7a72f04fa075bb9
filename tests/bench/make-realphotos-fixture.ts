/**
 * Writes `tests/fixtures/realphotos.json`: what the sampler reads on the patches of real photographs of 24-patch
 * charts, with the charts' published colours. Figures only: the photographs stay where they are.
 *
 *   npx tsx tests/bench/make-realphotos-fixture.ts FOLDER
 */
import { writeFileSync } from 'node:fs';
import { samplePanel } from '../../src/core/panel/index.ts';
import { type Reading, sampleQuad } from '../../src/core/photo/index.ts';
import { type ChartPhoto, chartPhotos } from './realphotos/folder.ts';

/** Where the photographs were published, by the start of their names. */
const SOURCES = {
  phone: {
    repository: 'JTvD/arcu_colorchecker',
    commit: '0a1db96',
    folder: 'example_imgs, images',
    licence: 'MIT',
  },
  rig: {
    repository: 'pmgbergen/DarSIA',
    commit: '089ca3c',
    folder: 'examples/images (tracer_0, tracer_2)',
    licence: 'Apache-2.0',
  },
} as const;

const digits = (x: number, n = 4): number => +x.toPrecision(n);
const triple = (v: readonly number[], n?: number): number[] => v.map((x) => digits(x, n));

function photoFigures({
  file,
  group,
  chart,
  card,
  placed,
  raster,
  quads,
}: ChartPhoto): Record<string, unknown> {
  const { bits, profile } = raster;
  return {
    file,
    group,
    source: group.startsWith('rig') ? 'rig' : 'phone',
    chart,
    bits,
    profile: {
      isLinear: profile.isLinear,
      source: profile.source,
      toLinearSrgb: profile.toLinearSrgb.map((v) => +v.toFixed(7)),
    },
    readings: card.patches.map(({ id, rect_mm: [x, y, w, h] }) => {
      const quad = quads.get(id)!;
      const panel = samplePanel(raster, quad).reading;
      return {
        id,
        patch: { at_mm: triple([x + w / 2, y + h / 2], 6), ...figures(sampleQuad(raster, quad)) },
        panel: { at_mm: triple(placed.toMm(panel.centre_px), 6), ...figures(panel) },
      };
    }),
  };
}

function figures(r: Reading): Record<string, unknown> {
  return {
    linear: triple(r.linear, 5),
    noise: triple(r.noise, 3),
    clippedHigh: triple(r.clippedHigh, 3),
    clippedLow: triple(r.clippedLow, 3),
    pixels: r.pixels,
  };
}

const charts: Record<string, unknown> = {};
const photos: Record<string, unknown>[] = [];
for await (const photo of chartPhotos(process.argv[2])) {
  const { name, size_mm, white, patches } = photo.card;
  charts[photo.chart] = {
    name,
    size_mm,
    white,
    patches: patches.map(({ id, role, lab, u }) => ({ id, role, lab, u })),
  };
  photos.push(photoFigures(photo));
}

const fixture = {
  about:
    'What is read on the patches of real photographs, taken as a patch of the card and as a panel: mean linear values, their standard errors, clipped fractions and pixel counts; and the published CIELAB of the charts',
  photographs: SOURCES,
  charts_source:
    'colour-science/colour, BSD-3-Clause: published Lab, D50, 2° observer; nobody measured these very charts',
  charts,
  photos,
};
// one line a patch
const text = JSON.stringify(
  fixture,
  (_, value: unknown) => (isFigures(value) ? `\u0001${JSON.stringify(value)}\u0001` : value),
  1,
).replace(/"\\u0001(.*?)\\u0001"/g, (_, inner: string) => JSON.parse(`"${inner}"`) as string);

function isFigures(value: unknown): boolean {
  return typeof value === 'object' && value !== null && ('lab' in value || 'patch' in value);
}

writeFileSync(new URL('../fixtures/realphotos.json', import.meta.url), `${text}\n`);
