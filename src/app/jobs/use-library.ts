import { liveQuery } from 'dexie';
import { useEffect, useState } from 'react';
import { type ColoursRow, database, type JobRow } from '../library/database.ts';
import { listDeletedJobs, listJobs } from '../library/jobs.ts';
import { storageProblem } from '../library/storage.ts';
import type { AppProblem } from '../store/index.ts';

/** Everything that this device keeps. */
export interface Library {
  readonly jobs: readonly JobRow[];
  readonly deleted: readonly JobRow[];
  /** Measured colours by job. */
  readonly colours: ReadonlyMap<string, ColoursRow>;
}

const NOTHING: Library = { jobs: [], deleted: [], colours: new Map() };

async function readLibrary(): Promise<Library> {
  const [jobs, deleted, colours] = await Promise.all([
    listJobs(),
    listDeletedJobs(),
    database.colours.toArray(),
  ]);
  return { jobs, deleted, colours: new Map(colours.map((row) => [row.job, row])) };
}

/** The library as it is now, in whatever window it changes. Undefined while it is being read. */
export function useLibrary(): {
  readonly library: Library | undefined;
  readonly problem: AppProblem | undefined;
} {
  const [library, setLibrary] = useState<Library>();
  const [problem, setProblem] = useState<AppProblem>();
  useEffect(() => {
    let isCurrent = true;
    const refuse = (error: unknown): void => {
      if (!isCurrent) return;
      setLibrary(NOTHING);
      setProblem(unkept(storageProblem(error)));
    };
    const watch = liveQuery(readLibrary).subscribe({ next: setLibrary, error: refuse });
    // a watch says nothing of a database that cannot be opened at all
    database.open().catch(refuse);
    return () => {
      isCurrent = false;
      watch.unsubscribe();
    };
  }, []);
  return { library, problem };
}

const unkept = (problem: AppProblem): AppProblem =>
  problem.code === 'storage-denied'
    ? {
        code: problem.code,
        message: 'This window may not store anything: what you make here is gone when you close it.',
        hint: 'You can work all the same and keep copies. A window that is not private keeps jobs by itself.',
      }
    : { ...problem, message: problem.message.replace(/^Not saved: /, 'The jobs cannot be read: ') };
