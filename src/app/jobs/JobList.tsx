import { useState } from 'react';
import type { ColoursRow, JobRow } from '../library/database.ts';
import { copyJob, deleteJob, putBackJob } from '../library/jobs.ts';
import { storageProblem } from '../library/storage.ts';
import { addressOf } from '../shell/route.ts';
import { type AppProblem, tell } from '../store/index.ts';
import { Button, formatMoment, IconButton, Menu, MoreIcon, Notice } from '../ui/index.ts';
import { Band } from './Band.tsx';
import { CopyDialog } from './CopyDialog.tsx';
import { RenameDialog } from './RenameDialog.tsx';
import type { Library } from './use-library.ts';
import { contentsOf, freeName, nameOf } from './words.ts';

type Asked = { readonly what: 'rename' | 'copy'; readonly row: JobRow };

/** Every job of this device, the one worked on last first. */
export function JobList({ library }: { readonly library: Library }) {
  const [asked, setAsked] = useState<Asked>();
  const [deleted, setDeleted] = useState<JobRow>();
  const [problem, setProblem] = useState<AppProblem>();
  const attempt = async (work: () => Promise<unknown>): Promise<void> => {
    setProblem(undefined);
    try {
      await work();
    } catch (error) {
      setProblem(storageProblem(error));
    }
  };
  const act = (row: JobRow, action: string): void => {
    if (action === 'rename' || action === 'copy') setAsked({ what: action, row });
    else if (action === 'duplicate')
      attempt(async () => {
        await copyJob(row.id, freeName(`${nameOf(row.job)}, second go`, library.jobs));
        tell(`${nameOf(row.job)} is there twice now.`);
      });
    else
      attempt(async () => {
        await deleteJob(row.id);
        setDeleted(row);
        tell(`${nameOf(row.job)} is deleted.`);
      });
  };
  const close = (): void => setAsked(undefined);
  return (
    <>
      {problem && <Notice problem={problem} />}
      {deleted && library.deleted.some((d) => d.id === deleted.id) && (
        <Notice actions={<Button onPress={() => attempt(() => putBackJob(deleted.id))}>Put it back</Button>}>
          <strong>{nameOf(deleted.job)} is deleted.</strong>
          <span>It stays under Storage for a month.</span>
        </Notice>
      )}
      <ul className="jobs">
        {library.jobs.map((row) => (
          <Row key={row.id} row={row} colours={library.colours.get(row.id)} onAct={(a) => act(row, a)} />
        ))}
      </ul>
      {asked?.what === 'rename' && <RenameDialog row={asked.row} onClose={close} />}
      {asked?.what === 'copy' && (
        <CopyDialog id={asked.row.id} name={nameOf(asked.row.job)} onClose={close} />
      )}
    </>
  );
}

interface RowProps {
  readonly row: JobRow;
  readonly colours: ColoursRow | undefined;
  readonly onAct: (action: string) => void;
}

function Row({ row: { id, job, changed_ms }, colours, onAct }: RowProps) {
  const name = nameOf(job);
  return (
    <li className="jobs-row">
      <a className="jobs-link" href={addressOf('photos', id)} onClick={() => tell(`Opening ${name}.`)}>
        <span className="jobs-name">{name}</span>
        <span className="jobs-what">{contentsOf(job)}</span>
        <span className="jobs-when">{formatMoment(changed_ms)}</span>
        {colours && <Band job={job} colours={colours} />}
      </a>
      <Menu
        label={`What to do with ${name}`}
        trigger={<IconButton icon={<MoreIcon />} word="More" aria-label={`More for ${name}`} />}
        groups={[
          {
            entries: [
              { id: 'rename', words: 'Rename' },
              { id: 'duplicate', words: 'Duplicate' },
              { id: 'copy', words: 'Keep a copy as a file' },
              { id: 'delete', words: 'Delete' },
            ],
            onChoose: onAct,
          },
        ]}
      />
    </li>
  );
}
