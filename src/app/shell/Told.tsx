import { useEffect, useRef, useState } from 'react';
import { useStore } from 'zustand';
import { useDocument } from '../store/document.ts';
import { useResults } from '../store/results.ts';
import { type SessionState, useSession } from '../store/session.ts';
import { stopWork, study } from '../store/studying.ts';
import { Button } from '../ui/Button.tsx';
import { Notice } from '../ui/Notice.tsx';
import { useRoute } from './route.ts';
import { updateStore } from './update.ts';

/** As long as it takes to read. */
const shownMs = (words: string): number => Math.min(6000, 2500 + 50 * words.length);
/** What was said this shortly before the screen changes belongs to the new one: it was said on the way there. */
const ON_THE_WAY_MS = 1000;

/** What is said in passing, for eyes and for screen readers, and the progress of long work. */
export function Told() {
  const told = useSession((s) => s.told);
  const progress = useResults((r) => r.progress);
  const unsaved = useDocument((d) => d.saved.state === 'failed');
  const shown = usePassing(told);
  const isWorking = progress !== undefined;
  const isSlow = useSlow(isWorking);
  return (
    <>
      <section className="told" aria-label="Messages">
        {isSlow && progress && (
          <div className="told-line">
            <span className="told-words">{progress.words}…</span>
            <span className="told-track" aria-hidden="true">
              <span style={{ width: `${Math.round(100 * progress.fraction)}%` }} />
            </span>
            <Button kind="quiet" onPress={stopWork}>
              Stop
            </Button>
          </div>
        )}
        {told && shown === told.n && (
          <div className="told-line">
            <span className="told-words">{told.words}</span>
          </div>
        )}
      </section>
      <div className="unseen" role="status">
        {told?.words} {isSlow ? 'Working on it.' : ''} {unsaved ? 'Not saved.' : ''}
      </div>
    </>
  );
}

/** What stays until something is done about it: in the page, where it covers nothing. */
export function Standing() {
  const isStopped = useResults((r) => r.stopped && r.progress === undefined);
  const takeOver = useStore(updateStore, (u) => u.takeOver);
  return (
    <>
      {isStopped && (
        <div className="shell-notice">
          <Notice actions={<Button onPress={() => study()}>Go on</Button>}>
            Stopped. The figures may be old.
          </Notice>
        </div>
      )}
      {takeOver && (
        <div className="shell-notice">
          <Notice actions={<Button onPress={takeOver}>Start it</Button>}>A new version is ready.</Notice>
        </div>
      )}
    </>
  );
}

/** Which word is shown now: the last one, for a while, and no longer than its screen is or than nothing else is touched. */
function usePassing(told: SessionState['told']): number | undefined {
  const { place, job } = useRoute();
  const [shown, setShown] = useState<number>();
  const since = useRef(0);
  useEffect(() => {
    if (!told) return;
    const { n, words } = told;
    since.current = performance.now();
    setShown(n);
    const hide = (): void => setShown(undefined);
    const timer = setTimeout(hide, shownMs(words));
    addEventListener('pointerdown', hide, { capture: true });
    return () => {
      clearTimeout(timer);
      removeEventListener('pointerdown', hide, { capture: true });
    };
  }, [told]);
  // biome-ignore lint/correctness/useExhaustiveDependencies: on another screen
  useEffect(() => {
    if (performance.now() - since.current > ON_THE_WAY_MS) setShown(undefined);
  }, [place, job]);
  return shown;
}

/** What is done within a blink needs no words. */
function useSlow(isWorking: boolean): boolean {
  const [isSlow, setSlow] = useState(false);
  useEffect(() => {
    if (!isWorking) {
      setSlow(false);
      return;
    }
    const timer = setTimeout(() => setSlow(true), 400);
    return () => clearTimeout(timer);
  }, [isWorking]);
  return isSlow;
}
