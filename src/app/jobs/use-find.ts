import { useEffect, useState } from 'react';
import type { Lab, WhiteName } from '../../core/color/index.ts';
import { forgetIndex, type NearPanel, nearestPanels } from '../library/nearest.ts';
import { panelName } from '../store/index.ts';
import { formatNumber } from '../ui/index.ts';
import type { Library } from './use-library.ts';
import { nameOf } from './words.ts';

export type TypedLab = readonly [number | undefined, number | undefined, number | undefined];

/** The colour looked for: a job's target or panel, or a value typed in, when no job is named. */
export interface Wanted {
  readonly job: string | undefined;
  readonly thing: string;
  readonly typed: TypedLab;
}

export interface Find {
  readonly wanted: Wanted;
  readonly setWanted: (wanted: Wanted) => void;
  /** The colour itself, once it is known. */
  readonly colour: { readonly name: string; readonly lab: Lab; readonly white: WhiteName } | undefined;
  readonly near: readonly NearPanel[] | undefined;
  readonly sentence: string;
  readonly detail: string | undefined;
}

const MOST = 24;

/** Looks for the panels nearest to a colour, over all jobs, and again whenever the library changes. */
export function useFind(library: Library | undefined): Find {
  const [chosen, setWanted] = useState<Wanted>();
  const wanted = chosen ?? startOf(library);
  const colour = library && colourOf(wanted, library);
  const [near, setNear] = useState<readonly NearPanel[]>();
  const key = JSON.stringify(colour);
  // biome-ignore lint/correctness/useExhaustiveDependencies: a colour is what its digits are
  useEffect(() => {
    if (!colour) return setNear(undefined);
    let isCurrent = true;
    forgetIndex();
    nearestPanels(colour.lab, MOST + 1, colour.white).then(
      (found) => {
        if (isCurrent)
          setNear(found.filter((f) => f.job !== wanted.job || f.panel !== wanted.thing).slice(0, MOST));
      },
      () => {
        if (isCurrent) setNear([]);
      },
    );
    return () => {
      isCurrent = false;
    };
  }, [key, library]);
  return { wanted, setWanted, colour, near, ...wordsOf(near, library) };
}

/** What a job can be asked for: its target first, then its measured panels. */
export function thingsOf(job: string | undefined, library: Library): string[] {
  const row = job === undefined ? undefined : library.colours.get(job);
  return row ? [...(row.target ? ['target'] : []), ...row.ids] : [];
}

function startOf(library: Library | undefined): Wanted {
  const row = library?.jobs.find(({ id }) => thingsOf(id, library).length > 0);
  const [thing = ''] = (row && library && thingsOf(row.id, library)) ?? [];
  return { job: row?.id, thing, typed: [undefined, undefined, undefined] };
}

function colourOf({ job, thing, typed }: Wanted, library: Library): Find['colour'] {
  if (job === undefined) {
    const [l, a, b] = typed;
    if (l === undefined || a === undefined || b === undefined) return undefined;
    return { name: 'your colour', lab: [l, a, b], white: 'D50/2' };
  }
  const row = library.colours.get(job);
  const document = library.jobs.find((r) => r.id === job)?.job;
  if (!row || !document) return undefined;
  const at = row.ids.indexOf(thing);
  const lab = thing === 'target' ? row.target : ([...row.lab.slice(3 * at, 3 * at + 3)] as unknown as Lab);
  if (!lab || (thing !== 'target' && at < 0)) return undefined;
  return { name: panelName(document, thing), lab, white: row.white as WhiteName };
}

function wordsOf(near: Find['near'], library: Library | undefined): Pick<Find, 'sentence' | 'detail'> {
  const [first] = near ?? [];
  const job = first && library?.jobs.find((r) => r.id === first.job)?.job;
  if (job)
    return {
      sentence: `Nearest is ${panelName(job, first.panel)}: about ${formatNumber(first.de00)} off.`,
      detail: `From ${nameOf(job)}. Press one to open its job.`,
    };
  return {
    sentence: near ? 'Nothing else is measured yet.' : 'Which colour are you looking for?',
    detail: undefined,
  };
}
