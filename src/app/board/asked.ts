/** What was last asked of each job's board: kept on this device, so that it is there again when the screen is. */
import { useStore } from 'zustand';
import { createStore } from 'zustand/vanilla';
import type { BoardAsk } from '../worker/protocol.ts';

/** All that a board's fields say, but what the job itself holds. */
export type Ask = Omit<BoardAsk, 'form' | 'maker' | 'notes'>;

/** Panels are kept as those left out: one measured since is shown. */
export interface KeptAsk {
  readonly leftOut: readonly string[];
  readonly title: string;
  /** As typed; today's until then. */
  readonly date?: string | undefined;
  readonly ladder: boolean;
  readonly perSheet?: number | undefined;
  readonly paper: BoardAsk['paper'];
}

const UNASKED: KeptAsk = { leftOut: [], title: '', ladder: false, paper: 'a4' };

const KEPT = 'sprayout-boards';
/** Jobs whose boards are remembered, the latest first. */
const MOST_KEPT = 40;

type Boards = readonly (readonly [job: string, ask: KeptAsk])[];

const isBoard = (entry: unknown): entry is Boards[number] =>
  Array.isArray(entry) &&
  typeof entry[0] === 'string' &&
  Array.isArray((entry[1] as Partial<KeptAsk> | undefined)?.leftOut);

function kept(): Boards {
  try {
    const boards: unknown = JSON.parse(localStorage.getItem(KEPT) ?? '[]');
    return Array.isArray(boards) ? boards.filter(isBoard) : [];
  } catch {
    return [];
  }
}

const boardStore = createStore<{ readonly boards: Boards }>(() => ({ boards: kept() }));

const keptIn = (boards: Boards, job: string): KeptAsk => ({
  ...UNASKED,
  ...boards.find(([id]) => id === job)?.[1],
});

export function askedOf(job: string, measured: readonly string[], today: string): Ask {
  return askOf(keptIn(boardStore.getState().boards, job), measured, today);
}

const askOf = ({ leftOut, date, ...ask }: KeptAsk, measured: readonly string[], today: string): Ask => ({
  ...ask,
  date: date ?? today,
  panels: measured.filter((id) => !leftOut.includes(id)),
});

/** Keeps what is asked of a job's board now. */
export function keepAsk(job: string, ask: Ask, measured: readonly string[], today: string): void {
  const { panels, date, ...rest } = ask;
  const leftOut = measured.filter((id) => !panels.includes(id));
  const now: KeptAsk = { ...rest, leftOut, ...(date !== today && { date }) };
  const others = boardStore.getState().boards.filter(([id]) => id !== job);
  const boards: Boards = [[job, now] as const, ...others].slice(0, MOST_KEPT);
  boardStore.setState({ boards });
  try {
    localStorage.setItem(KEPT, JSON.stringify(boards));
  } catch {
    // a private window forgets it, no more
  }
}

export function useAsked(job: string, measured: readonly string[], today: string): Ask {
  const boards = useStore(boardStore, (s) => s.boards);
  return askOf(keptIn(boards, job), measured, today);
}
