/** Outlines found and what they are taken to be; what the screen says of checks, lights and colours. */
import { describe, expect, it } from 'vitest';
import type { Job, JobPanel } from '../../shared/schemas/job.ts';
import {
  addingWords,
  leaveOut,
  place,
  recipeAsIn,
  setCoats,
  setParts,
  withoutPhoto,
} from '../../src/app/photos/edits.ts';
import {
  alike,
  asIn,
  besides,
  choicesBefore,
  inOrder,
  NEW,
  newWhereAlone,
  OUT,
  rememberChoices,
  UNSAID,
  withTaken,
} from '../../src/app/photos/found.ts';
import { boxQuad, storedQuad } from '../../src/app/photos/quads.ts';
import { standingOf } from '../../src/app/photos/sentences.ts';
import {
  checkSentence,
  colourWords,
  hasRecipe,
  hintInApp,
  isLabelled,
  named,
  recipeLine,
} from '../../src/app/photos/words.ts';
import { closeJob, documentStore, openUnsaved } from '../../src/app/store/document.ts';
import { emptyJob } from '../../src/app/store/find.ts';
import type { Work } from '../../src/app/store/work.ts';
import type { PhotoReport } from '../../src/app/worker/protocol.ts';
import { parseJob } from '../../src/core/job/index.ts';

const at = (x: number, y = 100) => storedQuad(boxQuad([x, y], [x + 80, y + 90]));

function benchJob(): Job {
  return {
    ...emptyJob('Bench'),
    photos: ['a', 'b'].map((id) => ({ id, file: `${id}.jpg`, light: 'sun' as const, view: 'face' as const })),
    panels: [
      { id: 'p1', measured: [{ photo: 'a', corners_px: at(300) }] },
      { id: 'p2', measured: [{ photo: 'a', corners_px: at(100) }] },
      { id: 'p3', measured: [] },
    ],
  };
}

describe('outlines found in a photo', () => {
  it('are new panels by themselves only where the job has nothing that they may be', () => {
    const two = [UNSAID, UNSAID];
    const fresh = emptyJob('Bench');
    expect(newWhereAlone(fresh, 'b', two)).toEqual([NEW, NEW]);
    expect(newWhereAlone(fresh, 'b', ['target', UNSAID])).toEqual(['target', NEW]);
    expect(newWhereAlone(benchJob(), 'b', two)).toEqual(two);
    const target = { measured: [{ photo: 'a', corners_px: at(500) }] };
    // the customer's sample may lie in another photo too, but has its place in this one
    expect(newWhereAlone({ ...fresh, target }, 'b', two)).toEqual(two);
    expect(newWhereAlone({ ...fresh, target }, 'a', two)).toEqual([NEW, NEW]);
    expect(newWhereAlone({ ...fresh, panels: [{ id: 'p3', measured: [] }] }, 'b', two)).toEqual(two);
  });

  it('are in order the panels that wait, without those of which something is said', () => {
    expect(inOrder([UNSAID, 'target', UNSAID], ['p7', 'p8'])).toEqual(['p7', 'target', 'p8']);
  });

  it('are in order what lies in another photo of the same bench, without those that are no panels', () => {
    const job = benchJob();
    expect(alike(job, 'b', [OUT, NEW, NEW])).toEqual(['a']);
    expect(alike(job, 'b', [NEW, NEW, NEW])).toEqual([]);
    expect(asIn(job, 'a', [OUT, NEW, NEW])).toEqual([OUT, 'p2', 'p1']);
  });

  it('never give one panel two places', () => {
    expect(withTaken(['p1', NEW], 1, 'p1')).toEqual([UNSAID, 'p1']);
    expect(withTaken([NEW, NEW], 1, NEW)).toEqual([NEW, NEW]);
  });
});

describe('what was chosen for outlines found', () => {
  it('is still known when adding them is undone, but for panels gone since', () => {
    const job = benchJob();
    const quads = [at(300), at(100), at(500)];
    expect(choicesBefore(job, quads)).toBeUndefined();
    rememberChoices(quads.slice(0, 2), ['p1', 'target']);
    expect(choicesBefore(job, quads)).toEqual(['p1', 'target', UNSAID]);
    rememberChoices(quads, ['p9', OUT, NEW]);
    expect(choicesBefore(job, quads)).toEqual([UNSAID, OUT, NEW]);
    expect(choicesBefore(job, [at(300)])).toBeUndefined();
  });

  it('is said in words, the target as what it is', () => {
    expect(addingWords([NEW, 'p1', 'target'])).toBe('Add 2 panels and the target');
    expect(addingWords(['target', NEW])).toBe('Add 1 panel and the target');
    expect(addingWords(['target'])).toBe('Add the target');
    expect(addingWords([NEW])).toBe('Add 1 panel found');
  });
});

describe('outlines found beside the target', () => {
  it('leave out what is the target itself, and keep its neighbours', () => {
    const job = benchJob();
    place(job, 'target', 'b', boxQuad([100, 100], [200, 200]));
    const neighbour = boxQuad([260, 100], [360, 200]);
    expect(besides(job, 'b', [boxQuad([110, 95], [210, 190]), neighbour])).toEqual([neighbour]);
  });
});

describe('a place', () => {
  it('moves in its photo and joins those in others', () => {
    const job = benchJob();
    place(job, 'p1', 'a', boxQuad([1, 1], [50, 50]));
    place(job, 'p1', 'b', boxQuad([2, 2], [60, 60]));
    place(job, 'target', 'b', boxQuad([100, 2], [160, 60]));
    expect(job.panels[0].measured.map((m) => m.photo)).toEqual(['a', 'b']);
    expect(job.panels[0].measured[0].corners_px?.[0]).toEqual([1, 1]);
    expect(parseJob(JSON.parse(JSON.stringify(job)), 'here').target?.measured).toHaveLength(1);
  });

  it('goes with its photo, and the target with its last', () => {
    const job = benchJob();
    place(job, 'target', 'a', boxQuad([100, 2], [160, 60]));
    withoutPhoto(job, 'a');
    expect(job.target).toBeUndefined();
    expect(job.panels.every((p) => p.measured.length === 0)).toBe(true);
    expect(parseJob(JSON.parse(JSON.stringify(job)), 'here').photos).toHaveLength(1);
  });

  it('makes no edit when no job is open', async () => {
    await expect(leaveOut('a', 'N1', true)).resolves.toBeUndefined();
  });
});

describe('the recipe of another panel', () => {
  const sprayed = { ground: 'g1', mix: { parts: { t1: 5 }, carrier: 2 }, coats: 2, clear: true };
  /** What becomes of a panel that takes over a recipe, or is edited otherwise. */
  function taken(
    own: Partial<JobPanel>,
    other: Partial<JobPanel>,
    change = () => recipeAsIn('p2', 'p1'),
  ): JobPanel | undefined {
    const job = { ...emptyJob('Bench'), tints: [{ id: 't1' }], grounds: [{ id: 'g1' }, { id: 'g2' }] };
    const panels = [
      { id: 'p1', measured: [], ...other },
      { id: 'p2', measured: [], ...own },
    ];
    openUnsaved({ ...job, panels }, {}, { code: 'storage', message: 'No place.', hint: 'Make some.' });
    change();
    const panel = documentStore.getState().job?.panels[1];
    closeJob();
    return panel;
  }

  it('is taken over whole', () => {
    expect(taken({}, sprayed)).toMatchObject(sprayed);
    expect(taken(sprayed, { ground: 'g2', coats: 0 })).toMatchObject({ ground: 'g2', coats: 0 });
    expect(taken(sprayed, { ground: 'g2', coats: 0 })?.mix).toBeUndefined();
  });

  it('takes nothing away when there is none, or not of all of it', () => {
    expect(taken(sprayed, {})).toMatchObject(sprayed);
    expect(taken(sprayed, { ground: 'g2' })).toMatchObject({ ...sprayed, ground: 'g2' });
  });

  it('has no reducer where nothing is mixed', () => {
    const reduced = { ...sprayed, reducer_pct: 10 };
    expect(taken({ reducer_pct: 10 }, {}, () => setCoats('p2', 0))?.reducer_pct).toBeUndefined();
    expect(taken(reduced, {}, () => setParts('p2', 't1', 0))?.reducer_pct).toBeUndefined();
    expect(taken(reduced, { ground: 'g2', coats: 0 })?.reducer_pct).toBeUndefined();
    expect(taken(reduced, {}, () => setCoats('p2', 1))).toEqual({
      id: 'p2',
      measured: [],
      ...reduced,
      coats: 1,
    });
  });

  it('is there as soon as anything is said', () => {
    expect(hasRecipe({ id: 'p1', measured: [] })).toBe(false);
    expect(hasRecipe({ id: 'p1', measured: [], clear: false, name: 'Lid', notes: 'Dry' })).toBe(false);
    for (const said of [{ ground: 'g1' }, { coats: 0 }, { clear: true }, { reducer_pct: 10 }])
      expect(hasRecipe({ id: 'p1', measured: [], ...said })).toBe(true);
  });
});

describe('the sentence at the head', () => {
  const sound = (): Work<PhotoReport> =>
    ({
      state: 'done',
      value: {
        measured: { card: { check: { mean_de00: 1 } }, panels: [], warnings: [] },
        warnings: [],
        refused: [],
      },
    }) as unknown as Work<PhotoReport>;
  const works = { a: sound(), b: sound() };
  const bench = (): Job => {
    const job = benchJob();
    for (const panel of job.panels) Object.assign(panel, { ground: 'g1', coats: 0 });
    place(job, 'p1', 'b', boxQuad([1, 1], [50, 50]));
    return job;
  };

  it('says which panel waits for a photo, or how many, and then what of the others', () => {
    const job = bench();
    expect(standingOf(job, works)).toMatchObject({
      sentence: 'Panel p3 waits for a photo.',
      wantsPhoto: true,
    });
    expect(standingOf(job, works).detail).toMatch(/All 2 photos can be trusted\.$/);
    job.panels[2].name = 'Red lid';
    job.panels.push({ id: 'p4', measured: [] });
    expect(standingOf(job, works).sentence).toBe('2 panels wait for a photo.');
    expect(standingOf({ ...job, panels: job.panels.slice(0, 3) }, works).sentence).toBe(
      'Red lid waits for a photo.',
    );
  });

  it('says that all is outlined only of what is', () => {
    const job = bench();
    job.panels[2].measured = [{ lab: [50, 0, 0] }];
    expect(standingOf(job, works)).toEqual({
      sentence: 'All 2 photos can be trusted.',
      detail: 'All 2 panels are outlined and labelled.',
    });
  });
});

describe('the words', () => {
  it('say what differences to trust, never less than one', () => {
    expect(checkSentence(0.8)).toMatch(/within 0.8 on average: trust differences of 1 and more/);
    expect(checkSentence(1.76)).toMatch(/trust differences of 2 and more/);
    expect(checkSentence(5)).toMatch(/do not trust/);
    expect(checkSentence(Number.NaN)).toMatch(/Too few patches/);
  });

  it('name plain colours as anyone would', () => {
    // CIELAB of the sRGB primaries and of yellow under D65 (CIE 15, IEC 61966-2-1), from memory
    expect(colourWords([53.2, 80.1, 67.2])).toMatch(/strong red$/);
    expect(colourWords([87.7, -86.2, 83.2])).toMatch(/green$/);
    expect(colourWords([97.1, -21.6, 94.5])).toMatch(/yellow$/);
    expect(colourWords([32.3, 79.2, -107.9])).toMatch(/violet$|blue$/);
    expect(colourWords([50, 0, 0])).toBe('medium, grey');
  });

  it('call panels by name where the core knows ids, and only the panel meant', () => {
    expect(named('Panel p1 is uneven; panel p10 is not.', 'p1', 'Lid')).toBe(
      'Lid is uneven; panel p10 is not.',
    );
  });

  it('speak of buttons where the core’s hints speak of the command line', () => {
    const hint = 'Lay this card beside the panels, or name the card that was used with --card.';
    expect(hintInApp(hint)).toBe('Lay this card beside the panels, or choose the card that was used.');
    expect(hintInApp('Place it by its four corners with --card-corners.')).toBe(
      'Place it by its four corners by hand.',
    );
  });

  it('tell a recipe that is whole from one that is not', () => {
    const panel = { id: 'p1', measured: [] };
    expect(recipeLine(benchJob(), panel)).toBe('No recipe yet');
    expect(isLabelled({ ...panel, ground: 'g', coats: 0 })).toBe(true);
    expect(isLabelled({ ...panel, ground: 'g', coats: 2 })).toBe(false);
    expect(isLabelled({ ...panel, ground: 'g', coats: 2, mix: { parts: { t: 1 } } })).toBe(true);
  });
});
