/** What the app puts on its window for the console: the stores, read in tests at full precision. */
import type { Page } from 'playwright-core';
import type { Job } from '../../shared/schemas/job.ts';
import type { documentStore, edit, resultsStore } from '../../src/app/store/index.ts';
import type { Bench } from '../../src/app/worker/client.ts';
import type { PhotoSource, StudyRequest } from '../../src/app/worker/protocol.ts';

type Question<Answer> = (bench: Bench, request: StudyRequest, source: PhotoSource) => Answer;

export interface AppConsole {
  readonly documentStore: typeof documentStore;
  readonly resultsStore: typeof resultsStore;
  readonly edit: typeof edit;
  /** Asks the worker about the open job. */
  readonly ask: <Answer>(question: Question<Answer>) => Answer;
}

declare global {
  interface Window {
    readonly sprayout: AppConsole;
  }
}

export interface AppAnswers {
  /** Lab by panel id, `target` too. */
  readonly lab: Readonly<Record<string, readonly number[]>>;
  readonly de00: Readonly<Record<string, number>>;
  readonly suggestions: readonly { readonly words: string; readonly de00: number }[];
}

/** The numbers on screen, unrounded. */
export function answersOf(page: Page): Promise<AppAnswers> {
  return page.evaluate(() => {
    const { colours, comparison, advice } = window.sprayout.resultsStore.getState();
    if (colours.state !== 'done' || comparison.state !== 'done') throw new Error('nothing is measured');
    const { ids, lab } = colours.value.colours;
    return {
      lab: Object.fromEntries(ids.map((id, i) => [id, [...lab[i]]])),
      de00: Object.fromEntries(comparison.value.target.map((t) => [t.panel, t.de00])),
      suggestions:
        advice.state === 'done' ? advice.value.suggestions.map(({ words, de00 }) => ({ words, de00 })) : [],
    };
  });
}

export function jobOf(page: Page): Promise<Job | undefined> {
  return page.evaluate(() => window.sprayout.documentStore.getState().job);
}
