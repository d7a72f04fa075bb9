import { useEffect, useState } from 'react';
import { useStore } from 'zustand';
import { useDocument } from '../store/document.ts';
import { useResults } from '../store/results.ts';
import { useSession } from '../store/session.ts';
import { stopWork, study } from '../store/studying.ts';
import { Button } from '../ui/Button.tsx';
import { updateStore } from './update.ts';

const SHOWN_MS = 6000;

/** What is said in passing, for eyes and for screen readers, and the progress of long work. */
export function Told() {
  const told = useSession((s) => s.told);
  const progress = useResults((r) => r.progress);
  const stopped = useResults((r) => r.stopped);
  const takeOver = useStore(updateStore, (u) => u.takeOver);
  const unsaved = useDocument((d) => d.saved.state === 'failed');
  const [shown, setShown] = useState<number>();
  useEffect(() => {
    if (!told) return;
    setShown(told.n);
    const timer = setTimeout(() => setShown(undefined), SHOWN_MS);
    return () => clearTimeout(timer);
  }, [told]);
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
        {stopped && !isWorking && (
          <div className="told-line">
            <span className="told-words">Stopped. The figures may be old.</span>
            <Button kind="quiet" onPress={() => study()}>
              Go on
            </Button>
          </div>
        )}
        {takeOver && (
          <div className="told-line">
            <span className="told-words">A new version is ready.</span>
            <Button kind="quiet" onPress={takeOver}>
              Start it
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
