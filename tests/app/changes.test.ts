import fc from 'fast-check';
import { produce } from 'immer';
import { describe, expect, it } from 'vitest';
import type { Job } from '../../shared/schemas/job.ts';
import { applyChanges, changesBetween } from '../../src/app/store/changes.ts';
import { emptyJob, panelIn } from '../../src/app/store/find.ts';

const panel = (id: string, coats = 2): Job['panels'][number] => ({ id, coats, measured: [] });
const jobOf = (...ids: string[]): Job => ({ ...emptyJob('bench'), panels: ids.map((id) => panel(id)) });
const edited = (job: Job, recipe: (draft: Job) => void): Job => produce(job, (draft) => void recipe(draft));
const place = (photo: string, at: number): Job['panels'][number]['measured'][number] => ({
  photo,
  corners_px: [
    [at, 0],
    [at + 9, 0],
    [at + 9, 9],
    [at, 9],
  ],
});

/** A job with panels in any order, with any coats and places. */
const anyJob = fc
  .uniqueArray(
    fc.record({
      id: fc.constantFrom('p1', 'p2', 'p3', 'p4', 'p5', 'p6'),
      coats: fc.nat(5),
      name: fc.option(fc.string(), { nil: undefined }),
      places: fc.uniqueArray(fc.constantFrom('f1', 'f2', 'f3')),
    }),
    { selector: (p) => p.id },
  )
  .map(
    (panels): Job => ({
      ...emptyJob('bench'),
      panels: panels.map(({ id, coats, name, places }) => ({
        id,
        coats,
        ...(name !== undefined && { name }),
        measured: places.map((photo, i) => place(photo, 10 * i)),
      })),
    }),
  );

describe('changes', () => {
  it('lead from one job to any other, and back', () => {
    fc.assert(
      fc.property(anyJob, anyJob, (a, b) => {
        expect(applyChanges(a, changesBetween(a, b))).toEqual(b);
        expect(applyChanges(b, changesBetween(b, a))).toEqual(a);
      }),
      { seed: 11, numRuns: 100 },
    );
  });

  it('hit the panel that was meant, although another window took one away before it', () => {
    const job = jobOf('p1', 'p2', 'p3');
    const mine = changesBetween(
      job,
      edited(job, (d) => {
        panelIn(d, 'p3')!.coats = 5;
      }),
    );
    const theirs = edited(job, (d) => {
      d.panels.splice(0, 1);
    });
    const both = applyChanges(theirs, mine);
    expect(both.panels.map((p) => [p.id, p.coats])).toEqual([
      ['p2', 2],
      ['p3', 5],
    ]);
  });

  it('keep both panels that two windows gave the same id', () => {
    const job = jobOf('p1');
    const add = (coats: number): ReturnType<typeof changesBetween> =>
      changesBetween(
        job,
        edited(job, (d) => {
          d.panels.push(panel('p2', coats));
        }),
      );
    const both = applyChanges(applyChanges(job, add(3)), add(4));
    expect(both.panels.map((p) => p.coats).sort()).toEqual([2, 3, 4]);
    expect(new Set(both.panels.map((p) => p.id)).size).toBe(3);
  });

  it('keep two places that two windows gave one panel in two photos', () => {
    const job = jobOf('p1');
    const add = (photo: string): ReturnType<typeof changesBetween> =>
      changesBetween(
        job,
        edited(job, (d) => {
          panelIn(d, 'p1')!.measured.push(place(photo, 1));
        }),
      );
    const both = applyChanges(applyChanges(job, add('f1')), add('f2'));
    expect(both.panels[0].measured.map((m) => m.photo).sort()).toEqual(['f1', 'f2']);
  });

  it('say nothing of what did not change', () => {
    const job = jobOf('p1', 'p2');
    expect(changesBetween(job, structuredClone(job))).toEqual([]);
  });
});
