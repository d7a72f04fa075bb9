import { describe, expect, it } from 'vitest';
import type { Job } from '../../shared/schemas/job.ts';
import { localFrame } from '../../src/core/color/index.ts';
import { SprayoutError } from '../../src/core/errors.ts';
import { filmDataOf } from '../../src/core/film/index.ts';
import { parseJob } from '../../src/core/job/index.ts';
import { seededRandom } from '../../src/core/math/random.ts';
import { joinJob } from '../../src/core/measure/index.ts';

const base = {
  format: 'sprayout-job/1',
  tints: [{ id: 't1' }, { id: 't2' }],
  grounds: [{ id: 'g1' }, { id: 'g2' }],
  photos: [
    { id: 'f1', file: 'a.jpg' },
    { id: 'f2', file: 'b.jpg' },
    { id: 'side', file: 'c.jpg', view: 'flop' },
  ],
};
const lab = [40, 30, 20] as [number, number, number];
const sprayed = {
  id: 'p1',
  ground: 'g1',
  mix: { parts: { t1: 5, t2: 1 } },
  coats: 3,
  measured: [{ lab, u: 0.6 }],
};
const jobOf = (panels: unknown[], more: object = {}): Job => parseJob({ ...base, ...more, panels }, 'test');
const variance = (u: number): number => (u * u) / 3;

describe('a job as the film model sees it', () => {
  it('an instrument’s reading has its error for itself', () => {
    const { reading } = filmDataOf(jobOf([sprayed])).panels[0];
    expect(reading.group).toBeUndefined();
    expect(reading.own[0]).toBeCloseTo(variance(0.6), 12);
  });

  it('readings of one photo share part of their error', () => {
    const data = filmDataOf(jobOf([{ ...sprayed, measured: [{ lab, u: 0.6, photo: 'f1' }] }]));
    const { own, group } = data.panels[0].reading;
    const shared = data.groups.get(group ?? '')?.[0] ?? 0;
    expect(own[0] + shared).toBeCloseTo(variance(0.6), 12);
    expect(shared).toBeGreaterThan(0);
  });

  it('two photos of one panel make one surer reading', () => {
    const measured = [
      { lab, u: 0.6, photo: 'f1' },
      { lab: [42, 30, 20], u: 0.6, photo: 'f2' },
    ];
    const { reading } = filmDataOf(jobOf([{ ...sprayed, measured }])).panels[0];
    expect(reading.lab[0]).toBeCloseTo(41, 9);
    expect(reading.own[0]).toBeCloseTo(variance(0.6) / 2, 12);
  });

  it('a flop photo never joins', () => {
    const measured = [
      { lab, u: 0.6 },
      { lab: [80, 0, 0], u: 0.6, photo: 'side' },
    ];
    expect(filmDataOf(jobOf([{ ...sprayed, measured }])).panels[0].reading.lab).toEqual(lab);
  });

  it('what the draws of a photo have in common becomes the photo’s error', () => {
    const place = {
      photo: 'f1',
      corners_px: [
        [0, 0],
        [9, 0],
        [9, 9],
        [0, 9],
      ],
    };
    const panels = ['p1', 'p2', 'p3'].map((id) => ({ ...sprayed, id, measured: [place] }));
    const rng = seededRandom(1);
    const count = 400;
    const draws = new Float64Array(count * 9);
    for (let k = 0; k < count; k++) {
      const together = rng.normal();
      for (let i = 0; i < 3; i++)
        draws.set([lab[0] + together + 0.2 * rng.normal(), lab[1], lab[2]], 9 * k + 3 * i);
    }
    const colours = { white: 'D50/2', ids: ['p1', 'p2', 'p3'], lab: [lab, lab, lab], count, draws };
    const data = filmDataOf(jobOf(panels), { colours });
    const { own, group } = data.panels[0].reading;
    const shared = data.groups.get(group ?? '') as readonly number[];
    expect(shared[0]).toBeGreaterThan(10 * own[0]);
  });

  it('leaves a panel without a recipe aside, says so, and keeps the rest', () => {
    const data = filmDataOf(
      jobOf([
        sprayed,
        { id: 'p2', measured: [{ lab }] },
        { id: 'p3', ground: 'g1', coats: 2, measured: [{ lab }] },
      ]),
    );
    expect(data.panels.map((p) => p.id)).toEqual(['p1']);
    expect(data.warnings.map((w) => w.code)).toEqual(['panel-without-recipe', 'panel-without-recipe']);
  });

  it('warns when cleared and uncleared panels meet', () => {
    const data = filmDataOf(
      jobOf([
        { ...sprayed, clear: true },
        { ...sprayed, id: 'p2', clear: false },
      ]),
    );
    expect(data.warnings.map((w) => w.code)).toEqual(['cleared-and-uncleared']);
  });

  it('takes a carrier that is not entered as is usual in the job, and says of which panel and what', () => {
    const letDown = (id: string, carrier?: number) => ({
      ...sprayed,
      id,
      mix: { ...sprayed.mix, ...(carrier === undefined ? {} : { carrier }) },
    });
    const data = filmDataOf(jobOf([letDown('p1', 5), letDown('p2', 5), letDown('p3', 0), letDown('p4')]));
    expect(data.panels.map((p) => p.recipe.carrier)).toEqual([5, 5, 0, 5]);
    expect(data.warnings).toEqual([
      { code: 'carrier-not-entered', message: expect.stringMatching(/^p4 .*5:1/) },
    ]);
    const neat = filmDataOf(jobOf([sprayed, { ...sprayed, id: 'p2' }]));
    expect(neat.panels.map((p) => p.recipe.carrier)).toEqual([0, 0]);
    expect(neat.warnings).toEqual([]);
  });

  it('how a bare ground was left says nothing of how sprayed panels are finished', () => {
    const bare = { id: 'b1', ground: 'g1', coats: 0, clear: false, measured: [{ lab }] };
    const data = filmDataOf(jobOf([bare, sprayed]));
    expect(data.panels.map((p) => p.recipe.clear)).toEqual([false, true]);
  });

  it('takes a colour without a stated error for as sure as the joined colours do', () => {
    for (const measured of [{ lab }, { lab, photo: 'f1' }]) {
      const job = jobOf([{ ...sprayed, measured: [measured] }]);
      const { own, group } = filmDataOf(job).panels[0].reading;
      const here = own[0] + (filmDataOf(job).groups.get(group ?? '')?.[0] ?? 0);
      const { colours } = joinJob(job, new Map());
      const w = localFrame(lab);
      let there = 0;
      for (let k = 0; k < colours.count; k++)
        for (let a = 0; a < 3; a++) {
          const off = [0, 1, 2].reduce((s, c) => s + w[3 * a + c] * (colours.draws[3 * k + c] - lab[c]), 0);
          there += off ** 2 / (3 * colours.count);
        }
      expect(there / here).toBeGreaterThan(0.85);
      expect(there / here).toBeLessThan(1.15);
    }
  });

  it('sets a panel aside when asked, and refuses one it doesn’t know', () => {
    const job = jobOf([sprayed, { ...sprayed, id: 'p2' }]);
    expect(filmDataOf(job, { leaveOut: ['p2'] }).panels.map((p) => p.id)).toEqual(['p1']);
    expect(() => filmDataOf(job, { leaveOut: ['p9'] })).toThrow(SprayoutError);
  });

  it('without a sprayed panel there is nothing to learn from', () => {
    const bare = { id: 'b', ground: 'g1', coats: 0, measured: [{ lab }] };
    expect(() => filmDataOf(jobOf([bare]))).toThrow(expect.objectContaining({ code: 'not-enough-panels' }));
  });

  it.each([
    ['unknown tint', { mix: { parts: { t9: 1 } } }],
    ['zero parts', { mix: { parts: { t1: 0 } } }],
    ['negative parts', { mix: { parts: { t1: -1, t2: 2 } } }],
    ['absurd parts', { mix: { parts: { t1: 1e9 } } }],
    ['coats not whole', { coats: 2.5 }],
    ['negative coats', { coats: -1 }],
    ['unknown ground', { ground: 'g9' }],
  ])('a panel with %s is a typed error', (_, change) => {
    expect(() => filmDataOf(jobOf([{ ...sprayed, ...change }]))).toThrow(SprayoutError);
  });

  it('two panels of one id are a typed error', () => {
    expect(() => jobOf([sprayed, sprayed])).toThrow(expect.objectContaining({ code: 'job-invalid' }));
  });
});
