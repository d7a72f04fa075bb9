/** Whole jobs from rendered photos: panels joined over photos, known from instruments, or at odds with themselves. */
import { beforeAll, describe, expect, it } from 'vitest';
import { randomSceneUnderLights } from '../../samples/scene/index.ts';
import { OWN_CARD, OWN_STRIPS } from '../../src/core/card/own.ts';
import { deltaE2000, type Lab } from '../../src/core/color/index.ts';
import { comparePanels } from '../../src/core/compare/index.ts';
import { type Job, parseJob } from '../../src/core/job/index.ts';
import { type JobColours, measureJob, measurePhoto } from '../../src/core/measure/index.ts';
import type { Raster } from '../../src/core/photo/index.ts';
import { mean, type TakenPhoto, takePhoto, truePlaces } from './rendered.ts';

interface Extras {
  readonly views?: readonly ('face' | 'flop')[];
  /** Further readings of a panel, by id. */
  readonly stated?: Readonly<Record<string, readonly unknown[]>>;
  /** Panels of each photo; all when left out. */
  readonly shown?: readonly (readonly string[])[];
}

const nameOf = (i: number): string => `photo-${i + 1}`;

/** The job that a painter writes down who outlines every panel in every photo. */
function jobOf(photos: readonly TakenPhoto[], { views = [], stated = {}, shown = [] }: Extras = {}): Job {
  const places = photos.map((p) => new Map(truePlaces(p).panels.map((q) => [q.id, q.corners_px])));
  const job = {
    format: 'sprayout-job/1',
    tints: [{ id: 'garnet' }],
    photos: photos.map((_, i) => ({
      id: nameOf(i),
      file: `${nameOf(i)}.jpg`,
      view: views[i] ?? 'face',
    })),
    panels: photos[0].scene.panels.map(({ id, kind }) => ({
      id,
      ...(kind === 'candy' ? { mix: { parts: { garnet: 1 } }, coats: 2 } : {}),
      measured: [
        ...photos.flatMap((_, i) =>
          shown[i] && !shown[i].includes(id) ? [] : [{ photo: nameOf(i), corners_px: places[i].get(id)! }],
        ),
        ...(stated[id] ?? []),
      ],
    })),
  };
  return parseJob(job, 'the job');
}

const measuredBefore = new Map<string, JobColours>();

/** The colours of whole photos, measured once however many tests look at them. */
function measureAll(photos: readonly TakenPhoto[], extras?: Extras): JobColours {
  const known = extras ? undefined : photos.map(taken).join();
  const before = known !== undefined && measuredBefore.get(known);
  if (before) return before;
  const measured = measureAnew(photos, extras);
  if (known !== undefined) measuredBefore.set(known, measured);
  return measured;
}

const numbers = new Map<Raster, number>();
/** A photo's number, by its pixels. */
function taken({ raster }: TakenPhoto): number {
  if (!numbers.has(raster)) numbers.set(raster, numbers.size);
  return numbers.get(raster)!;
}

function measureAnew(photos: readonly TakenPhoto[], extras?: Extras): JobColours {
  const rasters = new Map<string, { raster: Raster; card: TakenPhoto['card'] }>(
    photos.map((p, i) => [nameOf(i), { raster: p.raster, card: p.card }]),
  );
  return measureJob(jobOf(photos, extras), rasters);
}

const errorsOf = (colours: readonly Lab[], photo: TakenPhoto): number[] =>
  colours.map((lab, k) => deltaE2000(lab, photo.scene.panels[k].lab as Lab));
const alone = (photo: TakenPhoto): readonly Lab[] =>
  measurePhoto(photo.raster, { card: photo.card, panels: truePlaces(photo) }).panels.map((p) => p.lab);
const width = ({ colours }: JobColours, id: string): number =>
  Math.hypot(...comparePanels(colours).panels.find((p) => p.id === id)!.u95);

/** The same panels in the sun and in the shop, several times over. */
const benches: TakenPhoto[][] = [];

beforeAll(async () => {
  const shopLights = ['tri-phosphor', 'warm-led', 'cool-led'] as const;
  for (let i = 0; i < 8; i++) {
    const shop = shopLights[i % shopLights.length];
    const scenes = randomSceneUnderLights(
      3400 + i,
      {
        family: 'judge',
        pixels: 'jpeg',
        card: OWN_CARD,
        cardTier: 'measured',
        strips: OWN_STRIPS,
        panels: 9,
        identicalPair: true,
      },
      ['day', shop],
    );
    benches.push(await Promise.all(scenes.map((scene) => takePhoto(scene))));
  }
});

describe('panels photographed in the sun and in the shop', () => {
  it('come out closer than from the better photo alone', () => {
    const day = benches.flatMap(([sun]) => errorsOf(alone(sun), sun));
    const shop = benches.flatMap(([, inside]) => errorsOf(alone(inside), inside));
    const joined = benches.flatMap((photos) => errorsOf(measureAll(photos).colours.lab, photos[0]));
    expect(joined).toHaveLength(day.length);
    expect(mean(joined)).toBeLessThan(Math.min(mean(day), mean(shop)));
  });

  it('are said to come from both photos, and to agree', () => {
    const measured = measureAll(benches[0]);
    expect(measured.joined_from.get('p1')).toEqual(['photo-1', 'photo-2']);
    const doubted = benches.flatMap((photos) => [...measureAll(photos).doubts.keys()]);
    expect(doubted.length).toBeLessThanOrEqual(4);
  });

  it('narrow their intervals', () => {
    const [sun, shop] = benches[0];
    const both = measureAll([sun, shop]);
    const one = measureAll([sun]);
    const ids = sun.scene.panels.map((p) => p.id);
    expect(mean(ids.map((id) => width(both, id)))).toBeLessThan(mean(ids.map((id) => width(one, id))));
  });

  it('compare across photos: a panel seen in one only against a panel seen in the other', () => {
    const [sun, shop] = benches[1];
    const ids = sun.scene.panels.map((p) => p.id);
    // p1 and p2 are the same paint
    const apart = measureAll([sun, shop], { shown: [ids.filter((id) => id !== 'p2'), ['p2', 'p4', 'p5']] });
    expect(apart.joined_from.get('p1')).toEqual(['photo-1']);
    expect(apart.joined_from.get('p2')).toEqual(['photo-2']);
    const pair = comparePanels(apart.colours).pairs.find((p) => p.a === 'p1' && p.b === 'p2')!;
    expect(pair.interval95[0]).toBe(0);
    const together = comparePanels(measureAll([sun]).colours).pairs.find(
      (p) => p.a === 'p1' && p.b === 'p2',
    )!;
    expect(pair.interval95[1]).toBeGreaterThan(together.interval95[1]);
  });
});

describe('two panels of the same paint', () => {
  it('show no difference', () => {
    for (const photos of benches) {
      const pair = comparePanels(measureAll(photos).colours).pairs.find((p) => p.a === 'p1' && p.b === 'p2')!;
      expect(pair.interval95[0]).toBe(0);
      expect(pair.words).toMatch(/no difference/i);
    }
  });
});

describe('a panel that an instrument has measured', () => {
  it('takes its colour from the instrument and brings its tint along', () => {
    const before: number[] = [];
    const after: number[] = [];
    for (const [sun] of benches) {
      const [first] = sun.scene.panels;
      const plain = measureAll([sun]);
      const known = measureAll([sun], { stated: { p1: [{ lab: first.lab, u: 0.3 }] } });
      expect(deltaE2000(known.colours.lab[0], first.lab as Lab)).toBeLessThan(0.8);
      sun.scene.panels.forEach((p, k) => {
        if (k === 0 || p.tint !== first.tint) return;
        before.push(deltaE2000(plain.colours.lab[k], p.lab as Lab));
        after.push(deltaE2000(known.colours.lab[k], p.lab as Lab));
      });
    }
    expect(mean(after)).toBeLessThan(0.85 * mean(before));
  });

  it('needs no photo at all', () => {
    const [sun] = benches[0];
    const shown = [sun.scene.panels.map((p) => p.id).filter((id) => id !== 'p3')];
    const lab = [40, 20, 10];
    const measured = measureAll([sun], { shown, stated: { p3: [{ lab, u: 0.4 }] } });
    expect(measured.colours.ids).toContain('p3');
    expect(deltaE2000(measured.colours.lab[measured.colours.ids.indexOf('p3')], lab as never)).toBeLessThan(
      0.05,
    );
    expect(measured.joined_from.has('p3')).toBe(false);
  });
});

describe('a panel that leans to the light in one of its photos', () => {
  it('is named, and its interval is wider for it', () => {
    const [sun, shop] = benches[0];
    const sound = measureAll([sun, shop]);
    const tilted = { ...shop, raster: brighter(shop, 'p4', 1.5) };
    const measured = measureAll([sun, tilted]);
    expect(sound.doubts.has('p4')).toBe(false);
    expect(measured.doubts.get('p4')).toMatch(/photo-1 and photo-2 disagree/);
    expect([...measured.doubts.keys()].filter((id) => id !== 'p4')).toEqual([...sound.doubts.keys()]);
    const warning = measured.warnings.find(
      (w) => w.code === 'photos-disagree' && w.message.startsWith('p4'),
    )!;
    expect(warning.message).toMatch(/tilted/);
    expect(width(measured, 'p4')).toBeGreaterThan(1.5 * width(sound, 'p4'));
  });
});

/** The photo with one panel's linear light multiplied, as a metallic ground does that leans towards the lamp. */
function brighter({ raster, rendered }: TakenPhoto, id: string, gain: number): Raster {
  const { corners_px } = rendered.truth.panels.find((p) => p.id === id)!;
  const [xs, ys] = [0, 1].map((a) => corners_px.map((p) => p[a]));
  const data = Uint8Array.from(raster.data);
  // the encoded value of light times a gain, on the power part of the sRGB curve
  const scale = gain ** (1 / 2.4);
  for (let y = Math.floor(Math.min(...ys)); y < Math.max(...ys); y++)
    for (let x = Math.floor(Math.min(...xs)); x < Math.max(...xs); x++)
      for (let c = 0; c < 3; c++) {
        const at = 3 * (y * raster.width_px + x) + c;
        data[at] = Math.min(250, Math.round((data[at] / 255 + 0.055) * scale * 255 - 0.055 * 255));
      }
  return { ...raster, data };
}

describe('photos of the flop', () => {
  it('never join a face reading', () => {
    const [sun, shop] = benches[0];
    const face = measureAll([sun]);
    const withFlop = measureAll([sun, { ...shop, raster: brighter(shop, 'p1', 2) }], {
      views: ['face', 'flop'],
    });
    expect(withFlop.colours.lab).toEqual(face.colours.lab);
    expect(withFlop.joined_from.get('p1')).toEqual(['photo-1']);
  });

  it('alone leave a panel unmeasured', () => {
    const [sun, shop] = benches[0];
    const ids = sun.scene.panels.map((p) => p.id);
    const measured = measureAll([sun, shop], {
      views: ['face', 'flop'],
      shown: [ids.filter((id) => id !== 'p2'), ['p2']],
    });
    expect(measured.colours.ids).toEqual(ids.filter((id) => id !== 'p2'));
    expect(measured.joined_from.has('p2')).toBe(false);
  });

  it('alone measure nothing', () => {
    const [sun] = benches[0];
    expect(() => measureAll([sun], { views: ['flop'] })).toThrow(
      expect.objectContaining({ code: 'not-enough-panels' }),
    );
  });
});

describe('a job', () => {
  it('measured twice has the same digits', () => {
    const [a, b] = [measureAnew(benches[2]), measureAnew(benches[2])];
    expect([...a.colours.draws]).toEqual([...b.colours.draws]);
    expect(a.warnings).toEqual(b.warnings);
  });

  it('names the panel and refuses when it lies on the card', () => {
    const [sun] = benches[0];
    const job = jobOf([sun]);
    const card = sun.rendered.truth.card_px.map((p) => [...p]) as never;
    const wrong = {
      ...job,
      panels: [{ ...job.panels[0], measured: [{ photo: 'photo-1', corners_px: card }] }],
    };
    expect(() => measureJob(wrong, new Map([['photo-1', { raster: sun.raster, card: sun.card }]]))).toThrow(
      expect.objectContaining({ code: 'panel-on-card', message: expect.stringContaining('p1') }),
    );
  });

  it('refuses a white that no card of its photos states', () => {
    const [sun] = benches[0];
    expect(() =>
      measureJob(
        { ...jobOf([sun]), white: 'D65/10' },
        new Map([['photo-1', { raster: sun.raster, card: sun.card }]]),
      ),
    ).toThrow(expect.objectContaining({ code: 'job-invalid' }));
  });
});
