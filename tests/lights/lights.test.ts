import { describe, expect, it } from 'vitest';
import { randomSceneUnderLights, sceneReadings } from '../../samples/scene/index.ts';
import { OWN_CARD } from '../../src/core/card/own.ts';
import { deltaE2000, type Lab } from '../../src/core/color/index.ts';
import { correctPhoto } from '../../src/core/correction/index.ts';
import { SprayoutError } from '../../src/core/errors.ts';
import { parseJob } from '../../src/core/job/index.ts';
import { lightsOfJob } from '../../src/core/lights/index.ts';
import { looksLikeAnother } from '../../src/core/lights/travel.ts';
import type { ReadPhoto } from '../../src/core/measure/index.ts';
import { builtPair } from '../bench/lights/metameric-pairs.ts';

const LIGHTS = ['day', 'tri-phosphor', 'lamp'] as const;
const LABELS = ['sun', 'shop', 'lamp'] as const;

/** A bench of two pairs built to part and two of one paint, under three lights; what the photos read, and the truth. */
function bench(views: readonly ('face' | 'flop')[] = ['face', 'face', 'face'], missing?: string) {
  const pairs = [0, 1, 2, 3].map((k) => builtPair(1000 + k));
  const panels = pairs.flatMap((p) => p.panels).map((p, i) => ({ ...p, id: `p${i + 1}` }));
  const photos = randomSceneUnderLights(
    7000,
    { family: 'judge', pixels: 'linear', card: OWN_CARD, cardTier: 'measured', panels: 8 },
    LIGHTS,
  ).map((s) => sceneReadings({ ...s, panels }));
  const square = [
    [0, 0],
    [9, 0],
    [9, 9],
    [0, 9],
  ];
  const dyesOf = (i: number): string[] => panels[i].recipe!.parts.map(([dye]) => dye.name);
  const job = parseJob(
    {
      format: 'sprayout-job/1',
      tints: [...new Set(panels.flatMap((_, i) => dyesOf(i)))].map((id) => ({ id })),
      photos: photos.map((_, i) => ({
        id: `f${i + 1}`,
        file: `f${i + 1}.jpg`,
        light: LABELS[i],
        view: views[i],
      })),
      panels: panels.map(({ id }, i) => ({
        id,
        mix: { parts: Object.fromEntries(dyesOf(i).map((dye) => [dye, 1])) },
        measured: photos.flatMap((_, i) =>
          id === missing && i === 2 ? [] : [{ photo: `f${i + 1}`, corners_px: square }],
        ),
      })),
    },
    'bench',
  );
  const read = new Map(
    photos.map((s, i) => {
      const correction = correctPhoto(s.patches, {
        white: s.card.white,
        size_mm: s.card.size_mm,
        pixels: { bits: s.bits, profile: { ...s.profile, source: 'embedded' } },
      });
      const places = s.panels
        .filter((p) => !(p.id === missing && i === 2))
        .map((p) => ({
          id: p.id,
          corners_px: square,
          sampled: { sighted: p, evenness_de00: 0, warnings: [] },
        }));
      // what lights reads of a photo: its correction and its places
      return [
        `f${i + 1}`,
        { key: '', size_px: [10, 10], card: { correction, placed: [] }, places },
      ] as unknown as [string, ReadPhoto];
    }),
  );
  return { job, read, photos, pairs };
}

const { job, read, photos, pairs } = bench();
const told = lightsOfJob(job, read);

describe('the same panels under three lights', () => {
  it('shift as spectra say, within 1 ΔE00 on average, and the intervals hold', () => {
    let [error, held, count] = [0, 0, 0];
    for (const { panel, shifts } of told.panels)
      for (const s of shifts) {
        const [a, b] = [s.from, s.to].map(
          (id) =>
            photos[Number(id.slice(1)) - 1].truth.panels.find((p) => p.id === panel)!
              .lab_as_seen_adapted as Lab,
        );
        const truth = deltaE2000(a, b);
        error += Math.abs(s.de00 - truth);
        held += truth >= s.interval95[0] && truth <= s.interval95[1] ? 1 : 0;
        count++;
      }
    expect(error / count).toBeLessThan(1);
    expect(held / count).toBeGreaterThan(0.8);
  });

  it('are told as seen, relative to the white of each light', () => {
    let error = 0;
    for (const { panel, by_photo } of told.panels)
      for (const c of by_photo) {
        const truth = photos[Number(c.photo.slice(1)) - 1].truth.panels.find((p) => p.id === panel)!;
        error += deltaE2000(c.lab_as_seen, truth.lab_as_seen_adapted as Lab) / (3 * told.panels.length);
      }
    expect(error).toBeLessThan(2);
  });

  it('part where they were built of other dyes to match under D50, and hold where they are of one paint', () => {
    pairs.forEach(({ built }, k) => {
      const { verdict, by_light, words } = told.pairs.find(
        (p) => p.a === `p${2 * k + 1}` && p.b === `p${2 * k + 2}`,
      )!;
      expect(by_light.map((l) => l.light)).toEqual(['sun', 'shop', 'lamp']);
      expect(verdict).toBe(built === 'metameric' ? 'parts' : 'holds');
      expect(words.length).toBeGreaterThan(10);
    });
  });

  it('are judged where nobody noted their tints, and none of them wrongly', () => {
    const unnoted = { ...job, panels: job.panels.map(({ mix, ...panel }) => panel) };
    const judged = lightsOfJob(unnoted, read);
    let right = 0;
    pairs.forEach(({ built }, k) => {
      const { verdict } = judged.pairs.find((p) => p.a === `p${2 * k + 1}` && p.b === `p${2 * k + 2}`)!;
      expect(verdict).not.toBe(built === 'metameric' ? 'holds' : 'parts');
      if (verdict !== 'unsure') right++;
    });
    expect(right).toBeGreaterThan(pairs.length / 2);
  });

  it('let the kind of light be known, and say how little a card tells of its colour', () => {
    expect(told.photos.map((p) => p.light)).toEqual(['sun', 'shop', 'lamp']);
    // how often the intervals hold is told of forty photos in correction/likely-light.test.ts
    for (const {
      cct_k,
      cct_k_interval95: [low, high],
    } of told.photos) {
      expect(low).toBeLessThan(0.9 * cct_k);
      expect(high).toBeGreaterThan(1.1 * cct_k);
    }
    expect(told.cannot_tell).toContain('camera is not an eye');
  });

  it('give the same digits again', () => {
    expect(lightsOfJob(job, read)).toEqual(told);
  });
});

describe('photos that tell less', () => {
  it('of one light: no shift, no verdict, and it says so', () => {
    const one = lightsOfJob(job, new Map([...read].slice(0, 1)));
    expect(one.panels.every((p) => p.shifts.length === 0)).toBe(true);
    expect(one.pairs.every((p) => p.verdict === 'unsure')).toBe(true);
    expect(one.pairs[0].words).toContain('one light');
    expect(one.warnings.map((w) => w.code)).toContain('one-light');
  });

  it('of one light twice: it is named once, and no verdict is given', () => {
    const twice = {
      ...job,
      photos: job.photos.map((p) => ({ ...p, light: p.id === 'f2' ? 'sun' : p.light })),
    };
    const one = lightsOfJob(twice as typeof job, new Map([...read].slice(0, 2)));
    expect(new Set(one.pairs.map((p) => p.verdict))).toEqual(new Set(['unsure']));
    expect(one.pairs[0].words).toBe(
      "photographed together in the sun only: one light can't tell whether they part in another",
    );
    const three = lightsOfJob(twice as typeof job, read);
    for (const { words } of three.pairs) expect(words.match(/in the sun/g)?.length ?? 0).toBeLessThan(2);
    const everywhere = three.pairs.filter((p) => p.words.includes('every light'));
    expect(everywhere.length).toBeGreaterThan(0);
    for (const { words } of everywhere) expect(words).toContain('(in the sun and under the lamp)');
  });

  it('without one panel: nothing is said of it in that light', () => {
    const less = bench(['face', 'face', 'face'], 'p2');
    const answer = lightsOfJob(less.job, less.read);
    expect(answer.panels.find((p) => p.panel === 'p2')!.by_photo.map((c) => c.photo)).toEqual(['f1', 'f2']);
    expect(answer.warnings.find((w) => w.code === 'panel-missing-in-photo')!.message).toContain(
      'p2 is in no photo taken under the lamp',
    );
  });

  it('with a place that cannot be read: that is said of it, and not that it is in no such photo', () => {
    const outside = new SprayoutError('panel-outside-photo', 'Panel p2 is outside.', '');
    const broken = new Map(
      [...read].map(([id, photo]) => [
        id,
        id === 'f3'
          ? {
              ...photo,
              places: photo.places.map(({ sampled, ...place }) =>
                place.id === 'p2'
                  ? { ...place, refused: outside }
                  : { ...place, ...(sampled && { sampled }) },
              ),
            }
          : photo,
      ]),
    );
    const codes = lightsOfJob(job, broken).warnings.map((w) => w.code);
    expect(codes).toContain('panel-outside-photo');
    expect(codes).not.toContain('panel-missing-in-photo');
  });

  it('without one panel in a light that nobody named: nothing is missed there', () => {
    const less = bench(['face', 'face', 'face'], 'p2');
    const photos = less.job.photos.map((p) => (p.id === 'f3' ? { ...p, light: 'other' as const } : p));
    const codes = lightsOfJob({ ...less.job, photos }, less.read).warnings.map((w) => w.code);
    expect(codes).not.toContain('panel-missing-in-photo');
  });

  it('turned away: a travel for each panel, and the flop never among the shifts', () => {
    const turned = bench(['face', 'face', 'flop']);
    const answer = lightsOfJob(turned.job, turned.read);
    expect(answer.travel).toHaveLength(8);
    expect(answer.travel[0]).toMatchObject({ panel: 'p1', face: { photo: 'f1' }, flop: { photo: 'f3' } });
    expect(answer.warnings.map((w) => w.code)).toContain('travel-across-lights');
    expect(answer.panels[0].shifts.map((s) => s.to)).toEqual(['f2']);
  });

  it('of the flop alone: it asks for the face', () => {
    const turned = bench(['flop', 'flop', 'flop']);
    const answer = lightsOfJob(turned.job, turned.read);
    expect(answer.travel).toEqual([]);
    expect(answer.warnings.map((w) => w.code)).toContain('flop-without-face');
  });

  it('of the flop of another panel: a turn of hue that no candy makes is asked about', () => {
    const cherry: Lab = [30, 50, 30];
    expect(looksLikeAnother(cherry, [25, -30, 12])).toBe(true);
    expect(looksLikeAnother(cherry, [14, 28, 8])).toBe(false);
    // next to grey a hue says nothing
    expect(looksLikeAnother(cherry, [12, -6, -4])).toBe(false);
  });

  it('none at all: refused with what to do', () => {
    expect(() => lightsOfJob(job, new Map())).toThrow(/No panel of this job has a place in a photo/);
  });
});
