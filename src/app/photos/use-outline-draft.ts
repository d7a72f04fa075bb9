/** An outline while it is being moved: shown at once, given to the job when it is let go, so that one drag is one undo. */
import { useCallback, useEffect, useRef, useState } from 'react';
import type { PointPx, QuadPx } from '../../core/photo/types.ts';
import { movedCorner, movedQuad, type SizePx } from './quads.ts';

/** Key presses that follow each other this closely are one edit, ms. */
const PAUSE_MS = 700;

export interface OutlineDraft {
  readonly id: string;
  readonly quad: QuadPx;
  /** The corner that moves; undefined for the whole outline. */
  readonly corner: number | undefined;
}

export interface Moving {
  readonly draft: OutlineDraft | undefined;
  readonly show: (draft: OutlineDraft) => void;
  /** Gives what is shown to the job. */
  readonly finish: () => void;
  readonly cancel: () => void;
  /** Moves by pixels of the photo from where it is now. */
  readonly nudge: (id: string, quad: QuadPx, corner: number | undefined, d: PointPx) => void;
}

export function useOutlineDraft(photo: SizePx, onMove: (id: string, quad: QuadPx) => void): Moving {
  const [draft, setDraft] = useState<OutlineDraft>();
  const current = useRef<OutlineDraft>(undefined);
  const timer = useRef<ReturnType<typeof setTimeout>>(undefined);
  const commit = useRef(onMove);
  commit.current = onMove;

  const set = useCallback((next: OutlineDraft | undefined) => {
    current.current = next;
    setDraft(next);
  }, []);
  const finish = useCallback(() => {
    clearTimeout(timer.current);
    const done = current.current;
    set(undefined);
    if (done) commit.current(done.id, done.quad);
  }, [set]);
  const cancel = useCallback(() => {
    clearTimeout(timer.current);
    set(undefined);
  }, [set]);
  useEffect(() => finish, [finish]);

  const nudge = (id: string, quad: QuadPx, corner: number | undefined, d: PointPx): void => {
    if (current.current && current.current.id !== id) finish();
    const from = current.current?.quad ?? quad;
    const moved = corner === undefined ? movedQuad(from, d, photo) : movedCorner(from, corner, d, photo);
    set({ id, quad: moved, corner });
    clearTimeout(timer.current);
    timer.current = setTimeout(finish, PAUSE_MS);
  };
  return { draft, show: set, finish, cancel, nudge };
}

/** What an arrow key moves by: one pixel, ten with Shift. Undefined for any other key. */
export function arrowStep(key: string, isFast: boolean): PointPx | undefined {
  const step = isFast ? 10 : 1;
  switch (key) {
    case 'ArrowLeft':
      return [-step, 0];
    case 'ArrowRight':
      return [step, 0];
    case 'ArrowUp':
      return [0, -step];
    case 'ArrowDown':
      return [0, step];
    default:
      return undefined;
  }
}
