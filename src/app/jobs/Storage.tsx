import { useState } from 'react';
import type { JobRow } from '../library/database.ts';
import { eraseJobs, KEPT_DAYS, putBackJob } from '../library/jobs.ts';
import { type Room, storageProblem } from '../library/storage.ts';
import { type AppProblem, tell } from '../store/index.ts';
import { Button, Dialog, formatBytes, formatDay, formatPercent, Notice } from '../ui/index.ts';
import type { Library } from './use-library.ts';
import { count, nameOf } from './words.ts';

export function storageSentence(room: Room | undefined): string {
  if (!room) return 'This browser does not tell how much room there is.';
  const used = `The app and its jobs take ${formatBytes(room.used_bytes)}`;
  return room.kept ? `${used}, and stay.` : `${used}.`;
}

export function storageDetail(room: Room | undefined): string {
  if (!room) return 'Keep a copy of what matters.';
  const share = room.quota_bytes > 0 ? room.used_bytes / room.quota_bytes : 0;
  const filled = `${share < 0.01 ? 'Less than a hundredth' : formatPercent(share)} of the ${formatBytes(room.quota_bytes)} that the browser allows.`;
  return room.kept
    ? `${filled} The browser has promised not to clear them by itself.`
    : `${filled} When the device runs short of room the browser may clear them: ask it to keep them.`;
}

interface StorageProps {
  readonly library: Library;
  readonly isRefused: boolean;
}

/** What is stored, whether it stays, and what was deleted. */
export function Storage({ library: { deleted }, isRefused }: StorageProps) {
  const [problem, setProblem] = useState<AppProblem>();
  const [asked, setAsked] = useState<readonly JobRow[]>();
  const attempt = async (work: () => Promise<void>, words: string): Promise<void> => {
    setProblem(undefined);
    try {
      await work();
      tell(words);
    } catch (error) {
      setProblem(storageProblem(error));
    }
  };
  return (
    <>
      {isRefused && (
        <Notice>
          <strong>The browser did not promise it.</strong>
          <span>
            Most promise it to an app that is installed or often used: install this one and ask again. Until
            then keep copies of what matters.
          </span>
        </Notice>
      )}
      {problem && <Notice problem={problem} />}
      <section className="jobs-deleted">
        <h2>Deleted jobs</h2>
        {deleted.length === 0 ? (
          <p className="jobs-what">
            None. A job deleted by mistake can be put back here for {KEPT_DAYS} days.
          </p>
        ) : (
          <ul className="jobs">
            {deleted.map((row) => (
              <li key={row.id} className="jobs-row jobs-row-deleted">
                <span className="jobs-link">
                  <span className="jobs-name">{nameOf(row.job)}</span>
                  <span className="jobs-what">deleted {formatDay(row.deleted_ms ?? 0)}</span>
                </span>
                <Button onPress={() => attempt(() => putBackJob(row.id), `${nameOf(row.job)} is back.`)}>
                  Put back
                </Button>
                <Button kind="quiet" onPress={() => setAsked([row])}>
                  Erase
                </Button>
              </li>
            ))}
          </ul>
        )}
        {deleted.length > 1 && (
          <div>
            <Button onPress={() => setAsked(deleted)}>
              Erase all {count(deleted.length, 'deleted job')}
            </Button>
          </div>
        )}
      </section>
      <Dialog
        title={
          asked?.length === 1 ? `Erase ${nameOf(asked[0].job)} for good?` : 'Erase the deleted jobs for good?'
        }
        isOpen={asked !== undefined}
        onClose={() => setAsked(undefined)}
        actions={
          <>
            <Button onPress={() => setAsked(undefined)}>Keep</Button>
            <Button
              kind="primary"
              onPress={() => {
                const ids = (asked ?? []).map((r) => r.id);
                setAsked(undefined);
                attempt(() => eraseJobs(ids), 'Erased.');
              }}
            >
              Erase
            </Button>
          </>
        }
      >
        <p>Photos, panels and recipes go with it. This cannot be undone.</p>
      </Dialog>
    </>
  );
}
