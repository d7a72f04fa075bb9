import type { Lab, WhiteName } from '../color/index.ts';
import type { LabEnsemble } from '../correction/types.ts';
import type { Warning } from '../errors.ts';
import type { Vec3 } from '../math/linear.ts';
import { differenceOfDraws } from './difference-of-draws.ts';
import { differenceHalfWidths95, halfWidths95 } from './half-widths.ts';
import { DEFAULT_TOLERANCES, type Tolerances } from './tolerances.ts';
import { type DifferenceWords, differenceWords } from './words.ts';

export { ciede2000 } from '../color/ciede2000.ts';
export { quantileOfSorted } from './quantile.ts';
export { DEFAULT_TOLERANCES, type Tolerances } from './tolerances.ts';

/** One difference: CIEDE2000 of the centres, its 95 % interval, CIELAB lightness, chroma and hue difference, words. */
export interface Difference extends DifferenceWords {
  readonly de00: number;
  readonly interval95: readonly [number, number];
  readonly dL: number;
  readonly dC: number;
  readonly dH: number;
  /** Half-widths of the 95 % intervals of dL, dC, dH. */
  readonly u95: Vec3;
}

/** `a` minus `b`. */
export interface PairDifference extends Difference {
  readonly a: string;
  readonly b: string;
}

/** Panel minus target. */
export interface TargetDifference extends Difference {
  readonly panel: string;
}

export interface ComparedPanel {
  readonly id: string;
  readonly lab: Lab;
  /** Half-widths of the 95 % intervals of L*, a*, b*. */
  readonly u95: Vec3;
}

export interface Comparison {
  readonly white: WhiteName;
  readonly tolerances: Tolerances;
  /** Every colour compared, the target too. */
  readonly panels: readonly ComparedPanel[];
  readonly pairs: readonly PairDifference[];
  /** Empty without a target. */
  readonly target: readonly TargetDifference[];
  readonly warnings: readonly Warning[];
}

export interface CompareOptions {
  readonly tolerances?: Tolerances | undefined;
  /** Member that the others are compared with; `target` unless said otherwise. */
  readonly targetId?: string | undefined;
  /** Which panels are cleared, by id. A cleared and an uncleared panel don't compare, and the answer says so. */
  readonly cleared?: ReadonlyMap<string, boolean> | undefined;
  /** By id, what makes a panel's colour less sure: "its photos disagree". Repeated in the words. */
  readonly doubts?: ReadonlyMap<string, string> | undefined;
}

/**
 * Compares the members of an ensemble with each other and with the target: CIEDE2000 with 95 % intervals and words.
 * Throws RangeError when the ensemble's arrays don't fit together or hold a value that is no number.
 */
export function comparePanels(colours: LabEnsemble, options: CompareOptions = {}): Comparison {
  checkEnsemble(colours);
  const { tolerances = DEFAULT_TOLERANCES, targetId = 'target', cleared } = options;
  const { ids, lab } = colours;
  const difference = (i: number, j: number): Difference => compareTwo(colours, i, j, options);
  const target = ids.indexOf(targetId);
  const panels = ids.map((_, i) => i).filter((i) => i !== target);
  return {
    white: colours.white,
    tolerances,
    panels: ids.map((id, i) => ({ id, lab: lab[i], u95: halfWidths95(colours, i) })),
    pairs: panels.flatMap((i, at) =>
      panels.slice(at + 1).map((j) => ({ a: ids[i], b: ids[j], ...difference(i, j) })),
    ),
    target: target < 0 ? [] : panels.map((i) => ({ panel: ids[i], ...difference(i, target) })),
    warnings: clearWarnings(
      panels.map((i) => ids[i]),
      cleared,
    ),
  };
}

/** Member i minus member j of an ensemble. */
export function compareTwo(
  colours: LabEnsemble,
  i: number,
  j: number,
  { tolerances = DEFAULT_TOLERANCES, cleared, doubts }: CompareOptions = {},
): Difference {
  const { ids, lab } = colours;
  const d = differenceOfDraws(colours, i, j);
  const { de00, interval95, dL, dC, dH } = d;
  const remarks = remarksOn(ids[i], ids[j], cleared, doubts);
  return {
    de00,
    interval95,
    dL,
    dC,
    dH,
    u95: differenceHalfWidths95(colours, i, j),
    ...differenceWords(lab[i], lab[j], d, tolerances, remarks),
  };
}

function checkEnsemble({ ids, lab, count, draws }: LabEnsemble): void {
  if (lab.length !== ids.length) throw new RangeError(`${ids.length} ids but ${lab.length} colours`);
  if (!(count >= 1)) throw new RangeError('an ensemble needs at least one draw');
  if (draws.length !== 3 * count * ids.length)
    throw new RangeError(`expected ${3 * count * ids.length} values of draws, received ${draws.length}`);
  if (lab.some((c) => c.some((v) => !Number.isFinite(v))) || draws.some((v) => !Number.isFinite(v)))
    throw new RangeError('an ensemble holds a value that is not a number');
}

function remarksOn(
  a: string,
  b: string,
  cleared: CompareOptions['cleared'],
  doubts: CompareOptions['doubts'],
): string[] {
  const remarks: string[] = [];
  const [ca, cb] = [cleared?.get(a), cleared?.get(b)];
  if (ca !== undefined && cb !== undefined && ca !== cb)
    remarks.push('one is cleared and the other is not, so part of this is the clear');
  for (const id of [a, b]) {
    const doubt = doubts?.get(id);
    if (doubt) remarks.push(`${id}: ${doubt}`);
  }
  return remarks;
}

function clearWarnings(ids: readonly string[], cleared: CompareOptions['cleared']): Warning[] {
  const bare = ids.filter((id) => cleared?.get(id) === false);
  if (bare.length === 0 || !ids.some((id) => cleared?.get(id))) return [];
  return [
    {
      code: 'cleared-and-uncleared',
      message: `${bare.join(', ')} ${bare.length === 1 ? 'is' : 'are'} not cleared while others are: clear darkens and strengthens a candy, so compare cleared with cleared.`,
    },
  ];
}
