/** Which outline is which, by colour: guessed only where it is clear, and never against a panel that waits. */
import { describe, expect, it } from 'vitest';
import type { Job, JobPanel } from '../../shared/schemas/job.ts';
import { NEW, OUT, UNSAID } from '../../src/app/photos/found.ts';
import { type KnownColour, nearestFirst, withGuesses } from '../../src/app/photos/guess.ts';
import { boxQuad, storedQuad } from '../../src/app/photos/quads.ts';
import { emptyJob } from '../../src/app/store/find.ts';
import type { Lab } from '../../src/core/color/index.ts';

const corners_px = storedQuad(boxQuad([100, 100], [180, 190]));
const seen = (id: string, photo = 'a'): JobPanel => ({ id, measured: [{ photo, corners_px }] });
const waits = (id: string): JobPanel => ({ id, measured: [] });

// a lid, a bare silver and a red that is far from both
const LID: Lab = [35, 45, 38];
const SILVER: Lab = [72, 0, -1];
const RED: Lab = [36, 40, 22];
const KNOWN: readonly KnownColour[] = [
  { id: 'p1', lab: SILVER },
  { id: 'p2', lab: RED },
  { id: 'target', lab: LID },
];
const job = (panels: readonly JobPanel[], hasTarget = true): Job => ({
  ...emptyJob('Lid'),
  panels: [...panels],
  ...(hasTarget && { target: { measured: [{ photo: 'a', corners_px }] } }),
});
/** As another photo reads it. */
const again = ([l, a, b]: Lab): Lab => [l + 0.6, a - 0.4, b + 0.5];
const guess = (of: Job, labs: readonly (Lab | undefined)[], said = labs.map(() => UNSAID)) =>
  withGuesses(of, 'b', said, labs, KNOWN);

describe('outlines of colours that were measured before', () => {
  const bench = job([seen('p1'), seen('p2')]);

  it('are the target and the panels of those colours', () => {
    expect(guess(bench, [again(LID), again(RED), again(SILVER)])).toEqual(['target', 'p2', 'p1']);
  });

  it('are nothing yet where none is near, or no colour could be read', () => {
    expect(guess(bench, [[50, -30, 10], undefined, again(SILVER)])).toEqual([UNSAID, UNSAID, 'p1']);
  });

  it('are not told apart where two outlines are nearly alike', () => {
    const near: Lab = [36, 44, 37];
    expect(guess(bench, [again(LID), near, again(SILVER)])).toEqual([UNSAID, UNSAID, 'p1']);
  });

  it('are not told apart where two panels are nearly alike', () => {
    const twins = [...KNOWN, { id: 'p3', lab: [36, 41, 23] as const }];
    const of = job([seen('p1'), seen('p2'), seen('p3')]);
    expect(withGuesses(of, 'b', [UNSAID], [again(RED)], twins)).toEqual([UNSAID]);
    // one of the twins is said to be another outline
    expect(withGuesses(of, 'b', [UNSAID, 'p3'], [again(RED), undefined], twins)).toEqual(['p2', 'p3']);
  });

  it('are what was said of them, whatever their colour', () => {
    const labs = [again(LID), again(RED), again(SILVER)];
    expect(guess(bench, labs, [NEW, 'p1', OUT])).toEqual([NEW, 'p1', OUT]);
  });

  it('are not what has its place in this photo already', () => {
    const here = job([seen('p1'), seen('p2', 'b')]);
    expect(guess(here, [again(RED)])).toEqual([UNSAID]);
  });
});

describe('a panel that waits for its photo', () => {
  const bench = job([seen('p1'), seen('p2'), waits('p7')]);

  it('is the one outline that is left beside the target and a panel known', () => {
    expect(guess(bench, [again(LID), [33, 30, 36], again(SILVER)])).toEqual(['target', 'p7', 'p1']);
  });

  it('is the only outline where nothing else was measured', () => {
    const first = job([waits('p7')], false);
    expect(withGuesses(first, 'b', [UNSAID], [undefined], [])).toEqual(['p7']);
    expect(withGuesses(first, 'b', [UNSAID, UNSAID], [undefined, undefined], [])).toEqual([UNSAID, UNSAID]);
    expect(withGuesses(first, 'b', [UNSAID, OUT], [undefined, undefined], [])).toEqual(['p7', OUT]);
  });

  it('may have hit the target, or be another panel sprayed again: then nothing is guessed', () => {
    expect(guess(bench, [again(LID)])).toEqual([UNSAID]);
    expect(guess(bench, [again(LID), again(SILVER)])).toEqual([UNSAID, UNSAID]);
  });

  it('is not told from another that waits', () => {
    expect(guess(job([waits('p7'), waits('p8')]), [RED, RED])).toEqual([UNSAID, UNSAID]);
  });
});

describe('the panels to choose from', () => {
  it('are those of the nearest colour first, those of unknown colour last', () => {
    expect(nearestFirst(['p9', 'p1', 'p2'], LID, KNOWN)).toEqual(['p2', 'p1', 'p9']);
    expect(nearestFirst(['p9', 'p1', 'p2'], undefined, KNOWN)).toEqual(['p9', 'p1', 'p2']);
  });
});
