/** A pot described from the panel sprayed last, and a panel made the target: copies, which go their own way. */
import { afterEach, describe, expect, it } from 'vitest';
import type { Job, JobPanel } from '../../shared/schemas/job.ts';
import { matchPanel } from '../../src/app/match/match-panel.ts';
import { describePot, emptyPot } from '../../src/app/mix/pot.ts';
import { place, setParts } from '../../src/app/photos/edits.ts';
import { boxQuad, storedQuad } from '../../src/app/photos/quads.ts';
import { closeJob, documentStore, edit, openUnsaved, undo } from '../../src/app/store/document.ts';
import { emptyJob } from '../../src/app/store/find.ts';
import { parseJob } from '../../src/core/job/index.ts';

const corners_px = storedQuad(boxQuad([100, 100], [180, 190]));

function open(panels: readonly JobPanel[]): void {
  const photo = { id: 'a', file: 'a.jpg', light: 'sun' as const, view: 'face' as const };
  const job: Job = { ...emptyJob('Bench'), tints: [{ id: 't1' }, { id: 't2' }], photos: [photo] };
  openUnsaved(
    { ...job, panels: [...panels] },
    {},
    { code: 'storage', message: 'No place.', hint: 'Make some.' },
  );
}
const job = (): Job => documentStore.getState().job as Job;
/** The job as a copy of it reads back. */
const kept = (): Job => parseJob(JSON.parse(JSON.stringify(job())), 'here');

afterEach(closeJob);

describe('a pot that is mixed', () => {
  it('holds the mix sprayed last to begin with', async () => {
    open([
      { id: 'p1', mix: { parts: { t1: 5, t2: 1 }, carrier: 4 }, measured: [] },
      { id: 'p2', mix: { parts: { t1: 3 } }, measured: [] },
      { id: 'p3', coats: 0, measured: [] },
    ]);
    await describePot();
    expect(kept().pot).toEqual({ mix: { parts: { t1: 3 } }, volume_ml: 100 });
  });

  it('is not changed with the panel’s recipe, nor the recipe with it', async () => {
    open([{ id: 'p1', mix: { parts: { t1: 5, t2: 1 }, carrier: 4 }, measured: [] }]);
    await describePot();
    await setParts('p1', 't1', 7);
    await edit('Change the pot', (draft) => {
      if (draft.pot) draft.pot.mix.parts.t2 = 2;
    });
    expect(job().pot?.mix).toEqual({ parts: { t1: 5, t2: 2 }, carrier: 4 });
    expect(job().panels[0].mix?.parts).toEqual({ t1: 7, t2: 1 });
  });

  it('holds the first tint where nothing is sprayed yet, and can be emptied again', async () => {
    open([]);
    await describePot();
    expect(job().pot?.mix).toEqual({ parts: { t1: 1 }, carrier: 5 });
    await emptyPot();
    expect(job().pot).toBeUndefined();
    await undo();
    expect(job().pot).toBeDefined();
  });
});

describe('a panel made the target', () => {
  it('gives it its readings, and keeps its own when they are moved', async () => {
    open([
      {
        id: 'p1',
        name: 'Lid',
        measured: [
          { photo: 'a', corners_px },
          { lab: [40, 20, 10], u: 0.4 },
        ],
      },
    ]);
    await matchPanel('p1');
    expect(kept().target).toEqual({ name: 'Lid', measured: job().panels[0].measured });
    await edit('Move the outline', (draft) => place(draft, 'p1', 'a', boxQuad([1, 1], [50, 50])));
    expect(job().target?.measured[0]).toEqual({ photo: 'a', corners_px });
  });
});
