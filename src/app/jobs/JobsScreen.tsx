import './jobs.css';
import { liveQuery } from 'dexie';
import { useEffect, useState } from 'react';
import type { JobRow } from '../library/database.ts';
import { createJob, listJobs } from '../library/jobs.ts';
import { storageProblem } from '../library/storage.ts';
import { addressOf, goTo } from '../shell/route.ts';
import { type AppProblem, emptyJob, tell } from '../store/index.ts';
import { AddIcon, Button, formatMoment, Notice, Screen } from '../ui/index.ts';
import { bringDemo } from './demo.ts';

export default function JobsScreen() {
  const { rows, problem } = useJobs();
  const [isBringing, setBringing] = useState(false);
  const [failed, setFailed] = useState<AppProblem>();
  const demo = async (): Promise<void> => {
    setBringing(true);
    setFailed(undefined);
    try {
      const id = await bringDemo();
      if (id !== undefined) goTo('photos', id);
    } catch {
      setFailed({
        code: 'demo-unreachable',
        message: 'The demo job could not be fetched.',
        hint: 'It is fetched once from where the app came from: connect, and try again.',
      });
    } finally {
      setBringing(false);
    }
  };
  const begin = async (): Promise<void> => {
    try {
      goTo('photos', await createJob(emptyJob('New job')));
    } catch (error) {
      setFailed(storageProblem(error));
    }
  };
  const actions = (
    <>
      <Button kind="primary" icon={<AddIcon />} onPress={begin}>
        Start a job
      </Button>
      <Button onPress={demo} isDisabled={isBringing}>
        {isBringing ? 'Fetching the demo…' : 'Look at the demo job'}
      </Button>
    </>
  );
  const problems = [problem, failed].filter((p) => p !== undefined);
  if (rows?.length === 0)
    return (
      <Screen
        sentence="From wet panels to the next mix."
        detail="Photos and jobs stay on this device; nothing is sent anywhere."
        next={actions}
      >
        {problems.map((p) => (
          <Notice key={p.code} problem={p} />
        ))}
        <ol className="jobs-way">
          <li>
            <h2>Photograph</h2>
            <p>Lay your sprayed panels beside the printed card and take a photo.</p>
          </li>
          <li>
            <h2>Compare</h2>
            <p>See how far each panel is from the colour you want, and which way.</p>
          </li>
          <li>
            <h2>Mix</h2>
            <p>Read what to add to the pot, how many coats, and over which ground.</p>
          </li>
        </ol>
      </Screen>
    );
  return (
    <Screen sentence="Which job?" next={actions}>
      {problems.map((p) => (
        <Notice key={p.code} problem={p} />
      ))}
      <ul className="jobs">
        {rows?.map(({ id, job, changed_ms }) => (
          <li key={id}>
            <a
              className="jobs-row"
              href={addressOf('photos', id)}
              onClick={() => tell(`Opening ${job.name}.`)}
            >
              <span className="jobs-name">{job.name || 'Unnamed job'}</span>
              <span className="jobs-what">
                {count(job.panels.length, 'panel')}, {count(job.photos.length, 'photo')}
              </span>
              <span className="jobs-when">{formatMoment(changed_ms)}</span>
            </a>
          </li>
        ))}
      </ul>
    </Screen>
  );
}

const count = (n: number, thing: string): string => `${n} ${thing}${n === 1 ? '' : 's'}`;

function useJobs(): {
  readonly rows: readonly JobRow[] | undefined;
  readonly problem: AppProblem | undefined;
} {
  const [rows, setRows] = useState<readonly JobRow[]>();
  const [problem, setProblem] = useState<AppProblem>();
  useEffect(() => {
    const watch = liveQuery(listJobs).subscribe({
      next: setRows,
      error: (error) => {
        setRows([]);
        setProblem({
          ...storageProblem(error),
          message: 'This window may not store anything: jobs are gone when you close it.',
        });
      },
    });
    return () => watch.unsubscribe();
  }, []);
  return { rows, problem };
}
