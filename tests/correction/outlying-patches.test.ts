import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { randomScene, sceneReadings } from '../../samples/scene/index.ts';
import { OWN_CARD, OWN_STRIPS } from '../../src/core/card/own.ts';
import { deltaE2000 } from '../../src/core/color/index.ts';
import { plainLab } from '../../src/core/correction/correct-photo.ts';
import { correctPhoto, type PatchReading, type PhotoCorrection } from '../../src/core/correction/index.ts';
import type { Vec3 } from '../../src/core/math/linear.ts';

/** What skin sends back of the light, red, green and blue: common practice, no source. */
const SKIN: Vec3 = [0.45, 0.28, 0.2];

/** Patches with a finger over some of them: `share` of each, in the light that paper sends back. */
function covered(
  patches: readonly PatchReading[],
  ids: readonly string[],
  paper: Vec3,
  share = 1,
): PatchReading[] {
  return patches.map((p) => {
    if (!ids.includes(p.patch.id)) return p;
    const [r, g, b] = p.reading.linear.map((l, c) => (1 - share) * l + share * paper[c] * SKIN[c]);
    return { ...p, reading: { ...p.reading, linear: [r, g, b] as Vec3 } };
  });
}

describe.each(['measured', 'nominal'] as const)('beside a %s card, in a photo of panels', (cardTier) => {
  const scenes = [0, 1, 2].map((i) =>
    sceneReadings(
      randomScene(72000 + i, {
        family: 'judge',
        pixels: 'jpeg',
        card: OWN_CARD,
        strips: i === 1 ? OWN_STRIPS : [],
        cardTier,
        light: (['day', 'tri-phosphor', 'lamp'] as const)[i],
        panels: 6,
      }),
    ),
  );
  const paperOf = (s: (typeof scenes)[number]): Vec3 =>
    s.patches.find((p) => p.patch.id === 'W1')!.reading.linear;
  const correct = (s: (typeof scenes)[number], patches: readonly PatchReading[]): PhotoCorrection =>
    correctPhoto(patches, {
      white: s.card.white,
      size_mm: s.card.size_mm,
      pixels: { bits: s.bits, profile: { ...s.profile, source: 'embedded' } },
    });
  const meanError = (s: (typeof scenes)[number], correction: PhotoCorrection): number =>
    s.truth.panels.reduce((sum, { lab }, k) => {
      const { reading, at_mm } = s.panels[k];
      return sum + deltaE2000(plainLab(correction, reading, at_mm), lab) / s.truth.panels.length;
    }, 0);

  it('no sound patch is left out', () => {
    for (const s of scenes) {
      const { outlying, check } = correct(s, s.patches);
      expect(outlying).toEqual([]);
      expect(check.patches_left_out).toEqual([]);
    }
  });

  it.each([
    ['one white', ['W1']],
    ['one grey of the frame', ['G6']],
    ['the darkest grey', ['N7']],
    ['one colour', ['B4']],
    ['two whites alike, which hide each other', ['W1', 'W10']],
    ['a thumb’s worth', ['W1', 'W2', 'W3', 'G1']],
  ])('%s under a finger is left out, and the panels come out as without it', (_, ids) => {
    for (const s of scenes) {
      const correction = correct(s, covered(s.patches, ids, paperOf(s)));
      expect([...correction.outlying].sort()).toEqual(expect.arrayContaining(ids.slice(0, 1)));
      for (const id of correction.outlying) expect(ids).toContain(id);
      expect(correction.check.patches_left_out).toEqual(correction.outlying);
      const clean = meanError(s, correct(s, s.patches));
      expect(meanError(s, correction)).toBeLessThan(clean + 1.7);
    }
  });
});

describe('in real photographs of a 24-patch chart', () => {
  /** See tests/science/realphotos.test.ts for their source and licence. */
  const { charts, photos } = JSON.parse(
    readFileSync(new URL('../fixtures/realphotos.json', import.meta.url), 'utf8'),
  ) as {
    charts: Record<
      string,
      { size_mm: [number, number]; white: 'D50/2'; patches: Omit<PatchReading['patch'], 'rect_mm'>[] }
    >;
    photos: {
      file: string;
      chart: string;
      bits: 8;
      profile: never;
      readings: {
        id: string;
        patch: Omit<PatchReading['reading'], 'centre_px'> & { at_mm: [number, number] };
      }[];
    }[];
  };
  const outlyingIn = (
    { chart, readings, bits, profile }: (typeof photos)[number],
    ids: readonly string[],
  ) => {
    const { size_mm, white, patches } = charts[chart];
    const read = patches.map((patch): PatchReading => {
      const { at_mm, ...figures } = readings.find((r) => r.id === patch.id)!.patch;
      const reading = { ...figures, glareFraction: 0, dustFraction: 0, centre_px: [0, 0] as const };
      return { patch: { ...patch, rect_mm: [0, 0, 1, 1] }, reading, sheet: 0, at_mm };
    });
    const paper = read.find((p) => p.patch.id === 'N9.5')!.reading.linear;
    return correctPhoto(covered(read, ids, paper), { white, size_mm, pixels: { bits, profile } }).outlying;
  };

  it('no patch is left out', () => {
    for (const photo of photos) expect(outlyingIn(photo, [])).toEqual([]);
  });

  it('a covered patch is, and no other', () => {
    const tried = photos.flatMap((photo) => ['N9.5', 'N2', 'blue', 'cyan'].map((id) => ({ photo, id })));
    const told = tried.map(({ photo, id }) => outlyingIn(photo, [id]));
    for (const [i, ids] of told.entries()) for (const id of ids) expect(id).toBe(tried[i].id);
    expect(told.filter((ids) => ids.length > 0).length / tried.length).toBeGreaterThan(0.9);
  });
});
