import { useEffect, useState } from 'react';
import { type Bench, bench } from '../worker/client.ts';
import type { Part } from '../worker/protocol.ts';
import { useResults } from './results.ts';
import { IDLE, latestOf, type Work, working } from './work.ts';

/**
 * Asks the worker something that hangs on the last study, and asks again after every study and when `key` changes:
 * `useAnswer((bench) => bench.ladder(), 'ladder')`. Idle until the first study is done, and while `key` is undefined.
 */
export function useAnswer<T>(ask: (bench: Bench) => Promise<Part<T>>, key: string | undefined): Work<T> {
  const study = useResults((r) => r.study);
  const ready = useResults((r) => r.film.state === 'done' || r.film.state === 'failed');
  const [work, setWork] = useState<Work<T>>(IDLE);
  // biome-ignore lint/correctness/useExhaustiveDependencies: the question is told by its key
  useEffect(() => {
    if (key === undefined || !ready) return;
    let isCurrent = true;
    setWork((before) => working(before));
    ask(bench()).then(
      (part) => {
        if (!isCurrent) return;
        setWork((before) =>
          part.ok
            ? { state: 'done', value: part.value }
            : { state: 'failed', problem: part.problem, before: latestOf(before) },
        );
      },
      () => {
        if (isCurrent) setWork((before) => ({ state: 'idle', before: latestOf(before) }));
      },
    );
    return () => {
      isCurrent = false;
    };
  }, [key, study, ready]);
  return work;
}
