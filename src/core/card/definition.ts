import type { z } from 'zod';
import { type CardDefinition, type CardPatch, cardSchema } from '../../../shared/schemas/card.ts';
import { deltaE2000, labFromReflectance, toGrid, viewing, WHITE_NAMES } from '../color/index.ts';
import { SprayoutError } from '../errors.ts';
import { schemaIssue } from '../schema-issue.ts';
import { doOverlap, isConvexClockwise, type PolygonMm, rectangle } from './overlap.ts';

/** Fewest patches that a correction can be fitted to. */
export const FEWEST_NEUTRALS = 2;
export const FEWEST_COLOURS = 4;

/** A neutral patch may be this far from grey, a printed paper's tint included. */
const NEUTRAL_CHROMA = 20;
/** Lab and spectrum of one patch, from two instruments, may be this far apart, ΔE2000. */
const LAB_SPECTRUM_DE00 = 8;
/** A spectrum must cover these wavelengths; nearly all of X, Y and Z lies between. */
const COVERED_NM = [420, 680] as const;
/** Rounding of positions in files, mm. */
const SLACK_MM = 0.05;
/** Codes in the 36h11 family. */
const TAG_CODES = 587;

/**
 * A card definition out of a file's JSON. `where` names the file in messages. Throws `card-invalid`, naming the
 * patch or marker and what is wrong with it: a broken field, two patches of one id, a patch outside the card or upon
 * a marker, overlapping markers, too few neutrals or colours, an unknown white, a spectrum of the wrong length.
 */
export function parseCard(json: unknown, where: string): CardDefinition {
  const parsed = cardSchema.safeParse(json);
  if (!parsed.success) throw invalid(where, fieldFault(parsed.error.issues, json), HINT_FIELD);
  const card = parsed.data;
  checkWhite(card, where);
  checkPatches(card, where);
  checkMarkers(card, where);
  checkCounts(card, where);
  return card;
}

const HINT_FIELD = 'Correct that field in the card file; `format` must be "sprayout-card/1".';
const HINT_LAYOUT =
  'Positions are millimetres from the top left corner of the card; correct them in the card file.';
const HINT_COLOUR = 'Correct the colours in the card file, or make it again from the instrument’s readings.';

function invalid(where: string, what: string, hint: string): SprayoutError {
  return new SprayoutError('card-invalid', `Card ${where}: ${what}.`, hint);
}

/** A schema complaint in words, with the patch by its id: `patch "N4": lab[1] must be a number`. */
function fieldFault(issues: readonly z.core.$ZodIssue[], json: unknown): string {
  const { at, what } = schemaIssue(issues);
  const item = /^(patches|markers)\[(\d+)\]\.?/.exec(at);
  if (!item) return `${at} ${what}`;
  const [prefix, list, index] = item;
  const { id } = (json as Record<string, readonly { id?: unknown }[]>)[list][Number(index)] ?? {};
  const name = id === undefined ? `number ${Number(index) + 1}` : JSON.stringify(id);
  const one = `${list === 'patches' ? 'patch' : 'marker'} ${name}`;
  const field = at.slice(prefix.length);
  return field ? `${one}: ${field} ${what}` : `${one} ${what}`;
}

function checkWhite(card: CardDefinition, where: string): void {
  if (WHITE_NAMES.includes(card.white)) return;
  throw invalid(
    where,
    `white ${JSON.stringify(card.white)} is unknown`,
    'Use an illuminant and an observer such as "D50/2", "D65/10" or "A/2".',
  );
}

function checkPatches(card: CardDefinition, where: string): void {
  const [width, height] = card.size_mm;
  const seen = new Map<string, CardPatch>();
  const lengths = new Map<string, { id: string; count: number }>();
  for (const patch of card.patches) {
    const fail = (what: string, hint: string): never => {
      throw invalid(where, `patch ${JSON.stringify(patch.id)} ${what}`, hint);
    };
    if (seen.has(patch.id)) fail('is there twice', 'Give every patch an id of its own.');
    const [x, y, w, h] = patch.rect_mm;
    if (x < -SLACK_MM || y < -SLACK_MM || x + w > width + SLACK_MM || y + h > height + SLACK_MM)
      fail(`lies outside the card of ${width} × ${height} mm`, HINT_LAYOUT);
    for (const other of seen.values())
      if (doOverlap(rectangle(patch.rect_mm), rectangle(other.rect_mm), SLACK_MM))
        fail(`overlaps patch ${JSON.stringify(other.id)}`, HINT_LAYOUT);
    seen.set(patch.id, patch);
    checkSpectrum(patch, lengths, fail);
    checkColour(patch, card.white, fail);
  }
  // a strip's patches repeat those of the card that it lies beside
  if (isStrip(card)) return;
  for (const { id, replicate_of } of card.patches)
    if (replicate_of !== undefined && (replicate_of === id || !seen.has(replicate_of)))
      throw invalid(
        where,
        `patch ${JSON.stringify(id)} repeats ${JSON.stringify(replicate_of)}, which is no other patch of the card`,
        HINT_FIELD,
      );
}

type Fail = (what: string, hint: string) => never;

function checkSpectrum(
  patch: CardPatch,
  lengths: Map<string, { id: string; count: number }>,
  fail: Fail,
): void {
  if (!patch.spectrum) return;
  const { start_nm, step_nm, values } = patch.spectrum;
  const end_nm = start_nm + step_nm * (values.length - 1);
  if (start_nm > COVERED_NM[0] || end_nm < COVERED_NM[1])
    fail(
      `has a spectrum of ${values.length} values from ${start_nm} to ${end_nm} nm; ${COVERED_NM[0]} to ${COVERED_NM[1]} nm are needed`,
      HINT_COLOUR,
    );
  const grid = `${start_nm}/${step_nm}`;
  const first = lengths.get(grid);
  if (first && first.count !== values.length)
    fail(
      `has a spectrum of ${values.length} values where patch ${JSON.stringify(first.id)} has ${first.count} on the same wavelengths`,
      HINT_COLOUR,
    );
  if (!first) lengths.set(grid, { id: patch.id, count: values.length });
}

function checkColour(patch: CardPatch, white: string, fail: Fail): void {
  const computed = patch.spectrum && labFromReflectance(toGrid(patch.spectrum), viewing(white));
  if (patch.lab && computed) {
    const apart = deltaE2000(patch.lab, computed);
    if (apart > LAB_SPECTRUM_DE00)
      fail(
        `has a lab and a spectrum that are ${apart.toFixed(1)} ΔE2000 apart under ${white}`,
        'State the white that the Lab values are relative to, or leave out one of the two.',
      );
  }
  const lab = patch.lab ?? computed;
  if (patch.role === 'neutral' && lab && Math.hypot(lab[1], lab[2]) > NEUTRAL_CHROMA)
    fail(
      `is called neutral, yet its chroma is ${Math.hypot(lab[1], lab[2]).toFixed(0)}`,
      'Give it the role "colour".',
    );
}

function checkMarkers(card: CardDefinition, where: string): void {
  const [width, height] = card.size_mm;
  card.markers.forEach((marker, i) => {
    const fail: Fail = (what, hint) => {
      throw invalid(where, `marker ${marker.id} ${what}`, hint);
    };
    const quad: PolygonMm = marker.corners_mm;
    if (marker.family === '36h11' && marker.id >= TAG_CODES)
      fail('is not in the family', `The 36h11 family has the ids 0 to ${TAG_CODES - 1}.`);
    if (!isConvexClockwise(quad))
      fail(
        'has corners that make no quadrilateral',
        'List its corners top left, top right, bottom right, bottom left.',
      );
    if (
      quad.some(([x, y]) => x < -SLACK_MM || y < -SLACK_MM || x > width + SLACK_MM || y > height + SLACK_MM)
    )
      fail(`lies outside the card of ${width} × ${height} mm`, HINT_LAYOUT);
    for (const other of card.markers.slice(0, i)) {
      if (other.family === marker.family && other.id === marker.id)
        fail('is there twice', 'Give every marker an id of its own.');
      if (doOverlap(quad, other.corners_mm, SLACK_MM)) fail(`overlaps marker ${other.id}`, HINT_LAYOUT);
    }
    for (const patch of card.patches)
      if (doOverlap(quad, rectangle(patch.rect_mm), SLACK_MM))
        fail(`overlaps patch ${JSON.stringify(patch.id)}`, HINT_LAYOUT);
  });
}

/** A strip, one marker and neutrals only, shows how light falls; every other card must tell colours. */
function isStrip(card: CardDefinition): boolean {
  return card.markers.length === 1 && card.patches.every((p) => p.role === 'neutral');
}

function checkCounts(card: CardDefinition, where: string): void {
  const neutrals = card.patches.filter((p) => p.role === 'neutral').length;
  const colours = card.patches.length - neutrals;
  if (neutrals < FEWEST_NEUTRALS)
    throw invalid(
      where,
      `it has ${neutrals} neutral patches, too few`,
      `At least ${FEWEST_NEUTRALS} neutrals are needed to follow the light; give grey patches the role "neutral".`,
    );
  if (colours < FEWEST_COLOURS && !isStrip(card))
    throw invalid(
      where,
      `it has ${colours} colour patches, too few`,
      `At least ${FEWEST_COLOURS} colours are needed to correct a photo; a card of greys alone can't tell hues.`,
    );
}
