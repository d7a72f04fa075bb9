import { useState } from 'react';
import type { Job } from '../../../shared/schemas/job.ts';
import { goTo } from '../shell/route.ts';
import { latestOf, useDocument, useResults } from '../store/index.ts';
import { Button, EmptyState, Notice, Screen } from '../ui/index.ts';
import { type Ask, keepAsk, useAsked } from './asked.ts';
import './board.css';
import { BoardFields } from './BoardFields.tsx';
import { BoardPages } from './BoardPages.tsx';
import { FindByCode } from './FindByCode.tsx';
import { NotesLeftOut } from './NotesLeftOut.tsx';
import { saveHtml, savePages, savePdf } from './save.ts';
import { useBoard } from './use-board.ts';

/** Keep a board: what it is, how it was made, how far it is from the target. */
export default function BoardScreen() {
  const id = useDocument((d) => d.id);
  const job = useDocument((d) => d.job);
  const comparison = latestOf(useResults((r) => r.comparison));
  if (!job) return null;
  const measured = job.panels.filter((p) => comparison?.panels.some((c) => c.id === p.id));
  if (measured.length === 0)
    return (
      <Screen
        sentence="Nothing to put on a board yet."
        next={
          <Button kind="primary" onPress={() => goTo('photos', id)}>
            To the photos
          </Button>
        }
      >
        <EmptyState title="A board keeps a colour">
          <p>
            Its picture, its recipe and how far it is from the target, to print, to send or to post. It needs
            a measured panel first.
          </p>
        </EmptyState>
        <FindByCode />
      </Screen>
    );
  return <Board key={id} id={id ?? ''} job={job} measured={measured.map((p) => p.id)} />;
}

const BROKEN_OFF = {
  code: 'broken-off',
  message: 'Making the board broke off.',
  hint: 'Try again; nothing is lost.',
};

const today = (): string => new Intl.DateTimeFormat(undefined, { dateStyle: 'long' }).format(new Date());

interface BoardProps {
  readonly id: string;
  readonly job: Job;
  readonly measured: readonly string[];
}

function Board({ id, job, measured }: BoardProps) {
  const [date] = useState(today);
  const ask = useAsked(id, measured, date);
  const setAsk = (next: Ask): void => keepAsk(id, next, measured, date);
  const whole = { ...ask, maker: job.maker ?? '', notes: job.notes ?? '' };
  const { work, make } = useBoard(whole);
  const [problem, setProblem] = useState<Parameters<typeof Notice>[0]['problem']>();
  const [busy, setBusy] = useState<string>();
  const pages = latestOf(work);
  const count = ask.panels.length;
  const save = (what: string, action: () => Promise<typeof problem>) => async (): Promise<void> => {
    setBusy(what);
    setProblem(await action().catch(() => BROKEN_OFF));
    setBusy(undefined);
  };
  return (
    <Screen
      sentence={
        count === 0
          ? 'A board of no panel yet.'
          : count === 1
            ? 'A board of one panel.'
            : `A board of ${count} panels.`
      }
      detail="Colours are corrected to the card; nothing of a photo’s own data, place or time, goes out with it."
      aside={
        <>
          <BoardFields
            job={job}
            measured={measured}
            ask={ask}
            onChange={setAsk}
            onNotes={pages && <NotesLeftOut job={job} {...pages.leftOut} />}
          />
          <FindByCode />
        </>
      }
      next={
        <>
          <Button
            kind="primary"
            isDisabled={count === 0 || busy !== undefined}
            onPress={save('pdf', () => savePdf(job, make))}
          >
            {busy === 'pdf' ? 'Making the PDF…' : 'Save as PDF to print'}
          </Button>
          <Button
            isDisabled={!pages || count === 0 || busy !== undefined}
            onPress={save('pages', () => savePages(job, pages?.svgs ?? []))}
          >
            Save as pictures to post
          </Button>
          <Button
            isDisabled={count === 0 || busy !== undefined}
            onPress={save('html', () => saveHtml(job, make))}
          >
            Save as web page to send
          </Button>
        </>
      }
    >
      {problem && <Notice problem={problem} />}
      {work.state === 'failed' && <Notice problem={work.problem} />}
      {count === 0 && <p>Choose a panel to show.</p>}
      {pages && pages.missing.length > 0 && (
        <Notice>
          The typeface has no {pages.missing.slice(0, 12).join(' ')}: a box stands in their place. A web page
          shows them.
        </Notice>
      )}
      <BoardPages svgs={count === 0 ? undefined : pages?.svgs} isWorking={work.state === 'working'} />
    </Screen>
  );
}
