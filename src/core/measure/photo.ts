/** Measures one photo: card, correction, panels. */
import type { PanelsFile } from '../../../shared/schemas/panels.ts';
import type { Lab, WhiteName } from '../color/index.ts';
import {
  type CardCheck,
  type LabEnsemble,
  plainLab,
  readColours,
  type StatedColour,
  veilOver,
} from '../correction/index.ts';
import type { LikelyLight } from '../correction/likely-light.ts';
import { SprayoutError, type Warning } from '../errors.ts';
import type { Vec3 } from '../math/linear.ts';
import {
  checkPanels,
  evennessOf,
  overlapWarnings,
  type PlacedPanel,
  panelWarnings,
  samplePanel,
} from '../panel/index.ts';
import { type PanelMaps, spoiltBy } from '../panel/outline/index.ts';
import { panelsBeside } from '../panel/search.ts';
import type { Spoilt } from '../photo/sample-spots.ts';
import type { QuadPx, Raster } from '../photo/types.ts';
import { cardWarnings } from './card-warnings.ts';
import { disagreementWords } from './disagreement.ts';
import { type CardOptions, type ReadCard, readCard } from './read-card.ts';

export interface MeasureOptions extends CardOptions {
  /** The card; the project's own when left out. */
  readonly card?: CardOptions['card'];
  /** Corners of the card's `size_mm` rectangle, for charts without markers. */
  readonly corners_px?: QuadPx | undefined;
  /** Where the panels lie; found automatically when left out. */
  readonly panels?: PanelsFile | undefined;
  /** What the panel finder's network saw in the photo: panels are found by it, and glare and objects left out. */
  readonly maps?: PanelMaps | undefined;
  /** Ids of patches not to use. */
  readonly leave_out?: readonly string[] | undefined;
  /** Panels whose colour an instrument has told: they help their neighbours of the same tint. */
  readonly known?: readonly { readonly id: string; readonly lab: Lab; readonly u: number }[] | undefined;
}

export interface MeasuredPanel {
  readonly id: string;
  readonly corners_px: QuadPx;
  readonly lab: Lab;
  /** Half-widths of the 95 % intervals of L*, a*, b*. */
  readonly u95: Vec3;
  readonly pixels: number;
  readonly glare_fraction: number;
  /** Mean ΔE2000 of a grid of cells to their mean. */
  readonly evenness_de00: number;
  readonly warnings: readonly Warning[];
}

export interface MeasuredPhoto {
  readonly card: {
    readonly name: string;
    readonly found_by: 'markers' | 'corners';
    readonly corners_px: QuadPx;
    readonly check: CardCheck;
  };
  readonly white: WhiteName;
  readonly light: LikelyLight;
  readonly panels: readonly MeasuredPanel[];
  /** The panels' colours as draws: for differences in which shared errors cancel. */
  readonly colours: LabEnsemble;
  readonly warnings: readonly Warning[];
}

/**
 * Measures the panels of one photo beside its card. Colours are CIELAB under the card's white.
 * Throws SprayoutError when the card can't be found or read, or when a panel's place is wrong.
 */
export function measurePhoto(raster: Raster, options: MeasureOptions = {}): MeasuredPhoto {
  checkStated(options.panels?.panels ?? [], options.known);
  const card = readCard(raster, options);
  const panels = options.panels?.panels ?? panelsBeside(raster, card.placed, options.maps);
  return measurePanels(raster, card, panels, options);
}

/** The same for a photo whose card has been read and whose panels have been found. */
export function measurePanels(
  raster: Raster,
  card: ReadCard,
  panels: readonly PlacedPanel[],
  options: Pick<MeasureOptions, 'maps' | 'known'> = {},
): MeasuredPhoto {
  checkStated(panels, options.known);
  checkPanels(panels, raster, card.placed);
  const spoilt = options.maps && spoiltBy(options.maps, raster);
  const sampled = panels.map((panel) => sampledPanel(raster, panel, card, spoilt));
  const known = (options.known ?? []).map(({ id, lab, u }) => ({
    thing: panels.findIndex((p) => p.id === id),
    lab,
    u,
  }));
  const unknown = options.known?.find((_, i) => known[i].thing < 0);
  if (unknown)
    throw new SprayoutError(
      'usage',
      `No panel is called ${JSON.stringify(unknown.id)}, whose colour is stated.`,
      'Name it as in the panels file.',
    );
  return measuredPhoto(card, panels, sampled, known);
}

/** What a photo tells whose card and panels have been read. `known` holds stated colours by index of the panel. */
export function measuredPhoto(
  card: ReadCard,
  panels: readonly PlacedPanel[],
  sampled: readonly SampledPanelInPhoto[],
  known: readonly StatedColour[] = [],
): MeasuredPhoto {
  const { ensemble, u95, disagreements } = readColours(
    card.correction.photo.white,
    panels.map((p) => p.id),
    [card.correction],
    sampled.map((s, thing) => ({ thing, photo: 0, reading: s.sighted })),
    known,
  );
  return {
    card: {
      name: card.placed[0].definition.name,
      found_by: card.placed[0].found_by,
      corners_px: card.placed[0].corners_px,
      check: card.correction.check,
    },
    white: card.correction.photo.white,
    light: card.correction.light,
    panels: panels.map(({ id, corners_px }, i) => ({
      id,
      corners_px,
      lab: ensemble.lab[i],
      u95: u95[i],
      pixels: sampled[i].sighted.reading.pixels,
      glare_fraction: sampled[i].sighted.reading.glareFraction,
      evenness_de00: sampled[i].evenness_de00,
      warnings: sampled[i].warnings,
    })),
    colours: ensemble,
    warnings: [
      ...cardWarnings(card),
      ...overlapWarnings(panels),
      ...disagreements.map(
        (d) => disagreementWords(panels[d.thing].id, d.between, ['of this photo']).warning,
      ),
      ...(panels.length === 0 ? [NO_PANELS] : []),
    ],
  };
}

/** Refuses ids given twice and colours that are no colours, before any work is done. */
function checkStated(
  panels: readonly { readonly id: string }[],
  known: NonNullable<MeasureOptions['known']> = [],
): void {
  const ids = panels.map((p) => p.id);
  const twice = ids.find((id, i) => ids.indexOf(id) < i);
  if (twice !== undefined)
    throw new SprayoutError(
      'panels-invalid',
      `Two panels are called ${JSON.stringify(twice)}.`,
      'Give each panel an id of its own.',
    );
  const bad = known.find(({ lab, u }) => ![...lab, u].every(Number.isFinite) || u < 0);
  if (bad)
    throw new SprayoutError(
      'readings-invalid',
      `The stated colour of panel ${JSON.stringify(bad.id)} holds a value that is no number.`,
      'State L*, a*, b* and u as numbers.',
    );
}

const NO_PANELS: Warning = {
  code: 'no-panels-found',
  message:
    'No panels were found in the photo: lay them flat beside the card on a plain bench of another colour, or give their corners.',
};

/** A panel read, with what there is to say of it. */
export interface SampledPanelInPhoto {
  readonly sighted: {
    readonly id: string;
    readonly reading: ReturnType<typeof samplePanel>['reading'];
    readonly at_mm: readonly [number, number];
    readonly veil?: number;
  };
  readonly evenness_de00: number;
  readonly warnings: readonly Warning[];
}

/** Reads one panel. Throws `panel-unreadable` when nothing of it can be read. */
export function sampledPanel(
  raster: Raster,
  { id, corners_px }: PlacedPanel,
  card: ReadCard,
  spoilt?: Spoilt,
): SampledPanelInPhoto {
  const { reading, cells } = samplePanel(raster, corners_px, spoilt);
  if (reading.pixels === 0)
    throw new SprayoutError(
      'panel-unreadable',
      `Nothing of panel ${id} can be read: it is clipped, or all glare.`,
      'Take the photo again without a lamp mirrored in the panel, a little darker or lighter.',
    );
  const placed = cells.map((cell) => ({ reading: cell, at_mm: card.toMm(cell.centre_px) }));
  const evenness_de00 = evennessOf(placed.map((cell) => plainLab(card.correction, cell.reading, cell.at_mm)));
  const veil = veilOver(card.correction, placed);
  return {
    sighted: {
      id,
      reading,
      at_mm: card.toMm(reading.centre_px),
      ...(veil && { veil: veil.light }),
    },
    evenness_de00,
    warnings: panelWarnings({ id, reading, evenness_de00, veil, card: card.patchReadings }),
  };
}
