import { useEffect, useState } from 'react';
import { photoSource, studyRequest, useResults } from '../store/index.ts';
import { IDLE, latestOf, type Work, working } from '../store/work.ts';
import { bench, callback } from '../worker/client.ts';
import type { BoardAsk, DrawnBoard, Part } from '../worker/protocol.ts';

export type DrawnPages = Extract<DrawnBoard, { form: 'pages' }>;
export type Make = (form: BoardAsk['form']) => Promise<Part<DrawnBoard>>;

/** Waits this long after a change before the pages are drawn anew, ms. */
const SETTLE_MS = 400;

/** The board's pages, drawn anew when what they show changes; `make` makes it in another form. */
export function useBoard(ask: Omit<BoardAsk, 'form'>): {
  readonly work: Work<DrawnPages>;
  readonly make: Make;
} {
  const study = useResults((r) => r.study);
  const [work, setWork] = useState<Work<DrawnPages>>(IDLE);
  const key = JSON.stringify(ask);
  const make: Make = async (form) => {
    const request = studyRequest();
    if (!request)
      return { ok: false, problem: { code: 'usage', message: 'No job is open.', hint: 'Open a job.' } };
    return bench().board(request, { ...ask, form }, callback(photoSource));
  };
  // biome-ignore lint/correctness/useExhaustiveDependencies: what is asked is told by its key
  useEffect(() => {
    if (ask.panels.length === 0) return;
    let isCurrent = true;
    const timer = setTimeout(async () => {
      setWork((before) => working(before));
      const part = await make('pages').catch(() => undefined);
      if (!isCurrent || !part) return;
      setWork((before) =>
        part.ok && part.value.form === 'pages'
          ? { state: 'done', value: part.value }
          : part.ok
            ? before
            : { state: 'failed', problem: part.problem, before: latestOf(before) },
      );
    }, SETTLE_MS);
    return () => {
      isCurrent = false;
      clearTimeout(timer);
    };
  }, [key, study]);
  return { work, make };
}
