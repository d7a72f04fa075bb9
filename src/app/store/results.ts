/** What the worker found out about the open job: each part by itself, with its own wait and its own refusal. */
import { useStore } from 'zustand';
import { createStore } from 'zustand/vanilla';
import type { Advice } from '../../core/advise/index.ts';
import type { Comparison } from '../../core/compare/index.ts';
import type { JobColours } from '../../core/measure/index.ts';
import type { FilmReport, Part, PhotoReport, StudyEvent } from '../worker/protocol.ts';
import { IDLE, latestOf, type Work, working } from './work.ts';

export interface ResultsState {
  /** By photo id. */
  readonly photos: Readonly<Record<string, Work<PhotoReport>>>;
  readonly colours: Work<JobColours>;
  readonly comparison: Work<Comparison>;
  readonly film: Work<FilmReport>;
  readonly advice: Work<Advice>;
  /** What is being worked out now, 0 to 1; undefined when nothing is. */
  readonly progress: { readonly words: string; readonly fraction: number } | undefined;
  /** Counts the finished studies: an answer asked of the worker holds as long as this does. */
  readonly study: number;
  /** True after the painter stopped the work, until the next edit. */
  readonly stopped: boolean;
}

const NOTHING: ResultsState = {
  photos: {},
  colours: IDLE,
  comparison: IDLE,
  film: IDLE,
  advice: IDLE,
  progress: undefined,
  study: 0,
  stopped: false,
};

export const resultsStore = createStore<ResultsState>(() => NOTHING);

/** Reads results in a component: `useResults((r) => r.comparison)`. */
export function useResults<T>(select: (state: ResultsState) => T): T {
  return useStore(resultsStore, select);
}

export function clearResults(): void {
  resultsStore.setState({ ...NOTHING, study: resultsStore.getState().study });
}

/** Everything is being worked out anew; what was known stays in sight as `before`. */
export function beginStudy(photoIds: readonly string[]): void {
  resultsStore.setState((r) => ({
    photos: Object.fromEntries(photoIds.map((id) => [id, working(r.photos[id])])),
    colours: working(r.colours),
    comparison: working(r.comparison),
    film: working(r.film),
    advice: working(r.advice),
    stopped: false,
  }));
}

function settled<T>(part: Part<T>, before: Work<T> | undefined): Work<T> {
  return part.ok
    ? { state: 'done', value: part.value }
    : { state: 'failed', problem: part.problem, before: latestOf(before) };
}

export function takeIn(event: StudyEvent): void {
  resultsStore.setState((r) => {
    switch (event.kind) {
      case 'progress':
        return { progress: { words: event.words, fraction: event.fraction } };
      case 'photo':
        return { photos: { ...r.photos, [event.id]: settled(event.report, r.photos[event.id]) } };
      case 'colours':
        return { colours: settled(event.part, r.colours) };
      case 'comparison':
        return { comparison: settled(event.part, r.comparison) };
      case 'film':
        return { film: settled(event.part, r.film) };
      case 'advice':
        return { advice: settled(event.part, r.advice) };
      default:
        return {};
    }
  });
}

export function endStudy(): void {
  resultsStore.setState((r) => ({ progress: undefined, study: r.study + 1 }));
}

/** The work was stopped: what is not done goes back to what was known. */
export function stopStudy(): void {
  const idle = <T>(work: Work<T>): Work<T> =>
    work.state === 'working' ? { state: 'idle', before: work.before } : work;
  resultsStore.setState((r) => ({
    photos: Object.fromEntries(Object.entries(r.photos).map(([id, w]) => [id, idle(w)])),
    colours: idle(r.colours),
    comparison: idle(r.comparison),
    film: idle(r.film),
    advice: idle(r.advice),
    progress: undefined,
    stopped: true,
  }));
}
