import './jobs.css';
import { useRef, useState } from 'react';
import { createJob } from '../library/jobs.ts';
import { storageProblem } from '../library/storage.ts';
import { addressOf, goTo } from '../shell/route.ts';
import { type AppProblem, emptyJob, openUnsaved, useDocument } from '../store/index.ts';
import { AddIcon, Button, Notice, Screen, Tabs } from '../ui/index.ts';
import { bringDemo } from './demo.ts';
import { FindColour } from './FindColour.tsx';
import { FirstLook } from './FirstLook.tsx';
import { JobList } from './JobList.tsx';
import { Settings } from './Settings.tsx';
import { Storage, storageDetail, storageSentence } from './Storage.tsx';
import { Unsaved } from './Unsaved.tsx';
import { useBringIn } from './use-bring-in.ts';
import { useFind } from './use-find.ts';
import { type Library, useLibrary } from './use-library.ts';
import { useRoom } from './use-room.ts';
import { freeName, nameOf } from './words.ts';

type Tab = 'jobs' | 'find' | 'storage';

/** Which job? And whatever holds for all of them. */
export default function JobsScreen() {
  const { library, problem } = useLibrary();
  const [tab, setTab] = useState<Tab>('jobs');
  const find = useFind(library);
  const { room, ask, isRefused } = useRoom(library);
  const unsaved = useDocument((d) => d.unsaved.length);
  const start = useStart(library);
  const bringIn = useBringIn();
  const notices = (
    <>
      <Unsaved />
      {[problem, start.problem].map((p) => p && <Notice key={p.code} problem={p} />)}
      <BringInNotices bringIn={bringIn} />
    </>
  );
  const actions = (
    <>
      <Button kind="primary" icon={<AddIcon />} onPress={start.begin}>
        Start a job
      </Button>
      <Button onPress={start.demo} isDisabled={start.isFetching}>
        {start.isFetching ? 'Fetching the demo…' : 'Look at the demo job'}
      </Button>
      <ChooseCopies onChoose={bringIn.take} />
    </>
  );
  if (!library) return <Screen sentence="Which job?">{null}</Screen>;
  if (library.jobs.length + library.deleted.length + unsaved === 0)
    return (
      <DropZone onDrop={bringIn.take}>
        <Screen
          sentence="From wet panels to the next mix."
          detail={`${problem ? 'N' : 'Photos and jobs stay on this device; n'}othing is sent anywhere.`}
          next={actions}
        >
          {notices}
          <FirstLook />
        </Screen>
      </DropZone>
    );
  const head = {
    jobs: { sentence: 'Which job?', detail: undefined, next: actions },
    find: { sentence: find.sentence, detail: find.detail, next: undefined },
    storage: {
      sentence: storageSentence(room),
      detail: storageDetail(room),
      next: room && !room.kept && (
        <Button kind="primary" onPress={ask}>
          Ask the browser to keep them
        </Button>
      ),
    },
  }[tab];
  return (
    <DropZone onDrop={bringIn.take}>
      <Screen sentence={head.sentence} detail={head.detail} next={head.next}>
        {notices}
        <Tabs
          label="Jobs, colours, storage"
          chosen={tab}
          onChoose={(id) => setTab(id as Tab)}
          tabs={[
            { id: 'jobs', words: 'Jobs', content: <JobList library={library} /> },
            { id: 'find', words: 'Find a colour', content: <FindColour library={library} find={find} /> },
            {
              id: 'storage',
              words: 'Storage',
              content: (
                <div className="jobs-two">
                  <div className="jobs-storage">
                    <Storage library={library} isRefused={isRefused} />
                  </div>
                  <Settings />
                </div>
              ),
            },
          ]}
        />
      </Screen>
    </DropZone>
  );
}

/** A new job or the demo. Where nothing may be stored both open all the same. */
function useStart(library: Library | undefined): {
  readonly begin: () => Promise<void>;
  readonly demo: () => Promise<void>;
  readonly isFetching: boolean;
  readonly problem: AppProblem | undefined;
} {
  const [isFetching, setFetching] = useState(false);
  const [problem, setProblem] = useState<AppProblem>();
  const begin = async (): Promise<void> => {
    const job = emptyJob(freeName('New job', library?.jobs ?? []));
    try {
      goTo('photos', await createJob(job));
    } catch (error) {
      goTo('photos', openUnsaved(job, {}, storageProblem(error)));
    }
  };
  const demo = async (): Promise<void> => {
    setFetching(true);
    setProblem(undefined);
    try {
      goTo('photos', await bringDemo());
    } catch {
      setProblem({
        code: 'demo-unreachable',
        message: 'The demo job could not be fetched.',
        hint: 'It is fetched once from where the app came from: connect, and try again.',
      });
    } finally {
      setFetching(false);
    }
  };
  return { begin, demo, isFetching, problem };
}

function BringInNotices({ bringIn }: { readonly bringIn: ReturnType<typeof useBringIn> }) {
  const { reading, refused, remarked, take } = bringIn;
  return (
    <>
      {reading !== undefined && <p role="status">Reading {reading}…</p>}
      {refused.map(({ file, problem }) => (
        <Notice
          key={file.name}
          problem={problem}
          actions={
            problem.code === 'bundle-damaged' && (
              <Button onPress={() => take([file], true)}>Bring in what is whole</Button>
            )
          }
        />
      ))}
      {remarked.map(({ id, job, warnings }) => (
        <Notice
          key={id}
          actions={
            <a className="button" href={addressOf('photos', id)}>
              Open it
            </a>
          }
        >
          <strong>{nameOf(job)} is brought in.</strong>
          {warnings.map((w) => (
            <span key={w.message}>{w.message}</span>
          ))}
        </Notice>
      ))}
    </>
  );
}

type Take = (files: readonly File[]) => Promise<void>;

function ChooseCopies({ onChoose }: { readonly onChoose: Take }) {
  const input = useRef<HTMLInputElement>(null);
  return (
    <>
      <input
        ref={input}
        type="file"
        multiple
        hidden
        accept=".zip,application/zip,.json"
        onChange={(event) => {
          const files = [...(event.currentTarget.files ?? [])];
          event.currentTarget.value = '';
          if (files.length > 0) onChoose(files);
        }}
      />
      <Button onPress={() => input.current?.click()}>Bring in a copy</Button>
    </>
  );
}

/** The whole page takes files that are dropped on it. */
function DropZone({ onDrop, children }: { readonly onDrop: Take; readonly children: React.ReactNode }) {
  const [isOver, setOver] = useState(false);
  return (
    // biome-ignore lint/a11y/noStaticElementInteractions: the button does the same without a mouse
    <div
      className={isOver ? 'jobs-drop jobs-drop-over' : 'jobs-drop'}
      onDragOver={(event) => {
        if (!event.dataTransfer.types.includes('Files')) return;
        event.preventDefault();
        setOver(true);
      }}
      onDragLeave={(event) => {
        if (!event.currentTarget.contains(event.relatedTarget as Node | null)) setOver(false);
      }}
      onDrop={(event) => {
        event.preventDefault();
        setOver(false);
        const files = [...event.dataTransfer.files];
        if (files.length > 0) onDrop(files);
      }}
    >
      {children}
    </div>
  );
}
