import { Suspense, useEffect } from 'react';
import { closeJob, openJob, redo, undo, useDocument } from '../store/document.ts';
import { useResults } from '../store/results.ts';
import { useSession } from '../store/session.ts';
import { Button } from '../ui/Button.tsx';
import { Notice } from '../ui/Notice.tsx';
import { ErrorBoundary } from './ErrorBoundary.tsx';
import { JobName, JobTools } from './JobBar.tsx';
import { PlaceBar } from './PlaceBar.tsx';
import { JobsScreen, PLACE_TABLE } from './places.tsx';
import { goTo, useRoute } from './route.ts';
import { SavingProblem } from './SavedState.tsx';
import { Standing, Told } from './Told.tsx';
import { useKeptFocus } from './use-kept-focus.ts';
import { useLeaveWarning } from './use-leave-warning.ts';

export function App() {
  const { place, job } = useRoute();
  const theme = useSession((s) => s.theme);
  useEffect(() => {
    const root = document.documentElement;
    if (theme === 'auto') delete root.dataset.theme;
    else root.dataset.theme = theme;
  }, [theme]);
  useEffect(() => {
    if (job === undefined) closeJob();
    else openJob(job);
  }, [job]);
  const study = useResults((r) =>
    r.progress ? 'working' : r.advice.state === 'done' || r.advice.state === 'failed' ? 'done' : 'none',
  );
  useUndoKeys();
  useLeaveWarning();
  useKeptFocus();
  // biome-ignore lint/correctness/useExhaustiveDependencies: a new place starts at its top
  useEffect(() => scrollTo(0, 0), [place, job]);
  return (
    <div className="frame" data-study={study}>
      <button type="button" className="skip" onClick={skipToMain}>
        Skip to the content
      </button>
      <header className="top">
        <JobName />
        <PlaceBar />
        <JobTools />
      </header>
      <main id="main" tabIndex={-1}>
        <SavingProblem />
        <Standing />
        <ErrorBoundary key={`${place} ${job}`}>
          <Suspense fallback={<Waiting />}>
            <Page />
          </Suspense>
        </ErrorBoundary>
      </main>
      <Told />
    </div>
  );
}

function Page() {
  const { place } = useRoute();
  const problem = useDocument((d) => d.problem);
  const isOpen = useDocument((d) => d.job !== undefined);
  if (place === 'jobs') return <JobsScreen />;
  if (problem)
    return (
      <div className="screen">
        <Notice problem={problem} actions={<Button onPress={() => goTo('jobs')}>All jobs</Button>} />
      </div>
    );
  if (!isOpen) return <Waiting />;
  const entry = PLACE_TABLE.find((p) => p.place === place);
  return entry ? <entry.Screen /> : null;
}

function Waiting() {
  return (
    <div className="screen" role="status">
      <p>Opening…</p>
    </div>
  );
}

function skipToMain(): void {
  document.getElementById('main')?.focus();
}

function useUndoKeys(): void {
  useEffect(() => {
    const onKey = (event: KeyboardEvent): void => {
      const { target } = event;
      if (target instanceof HTMLInputElement || target instanceof HTMLTextAreaElement) return;
      if (!(event.ctrlKey || event.metaKey) || event.altKey) return;
      const key = event.key.toLowerCase();
      if (key !== 'z' && key !== 'y') return;
      event.preventDefault();
      if (key === 'y' || event.shiftKey) redo();
      else undo();
    };
    addEventListener('keydown', onKey);
    return () => removeEventListener('keydown', onKey);
  }, []);
}
