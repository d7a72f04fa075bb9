import { useEffect, useState } from 'react';
import type { Job, JobPhoto } from '../../../shared/schemas/job.ts';
import type { QuadPx } from '../../core/photo/types.ts';
import { photoSource, studyRequest, tell, useDocument, useResults, type Work } from '../store/index.ts';
import { bench, callback } from '../worker/client.ts';
import type { FoundPanels, Part, PhotoReport } from '../worker/protocol.ts';
import { addFound } from './edits.ts';
import { besides, choicesBefore, firstGuess, OUT, rememberChoices, type Taken, withTaken } from './found.ts';
import { hasPanels } from './photo-state.ts';
import { guessAsBefore } from './retaken.ts';
import { count } from './words.ts';

export interface Found {
  readonly quads: readonly QuadPx[];
  readonly taken: readonly Taken[];
  /** The outline that the chips speak of. */
  readonly current: number;
  readonly choose: (index: number) => void;
  /** Takes the current outline to be something, and goes on to the next. */
  readonly take: (as: Taken) => void;
  readonly takeAll: (taken: readonly Taken[]) => void;
  readonly add: () => void;
  readonly dismiss: () => void;
}

/** Asked once for a photo as it is: by job, photo, and where its card lies. */
const asked = new Map<string, Promise<Part<FoundPanels>>>();

function findPanels(key: string, photo: string): Promise<Part<FoundPanels>> {
  const known = asked.get(key);
  if (known) return known;
  const request = studyRequest();
  if (!request) return Promise.reject(new Error('no job is open'));
  const answer = bench().findPanels(request, photo, callback(photoSource));
  asked.set(key, answer);
  answer.catch(() => asked.delete(key));
  return answer;
}

interface Offer {
  readonly key: string;
  readonly quads: readonly QuadPx[];
  readonly taken: readonly Taken[];
  readonly current: number;
}

/** Looks for panels in a photo in which no panel is outlined yet. `isSearching` until the answer is there. */
export function useFound(
  job: Job,
  photo: JobPhoto,
  work: Work<PhotoReport> | undefined,
): { readonly isSearching: boolean; readonly found: Found | undefined; readonly isNothing: boolean } {
  const jobId = useDocument((d) => d.id);
  const isWanted = work?.state === 'done' && !hasPanels(job, photo.id);
  const key = isWanted ? JSON.stringify([jobId, photo.id, photo.card, photo.card_corners_px]) : undefined;
  const [offer, setOffer] = useState<Offer>();
  const [dismissed, setDismissed] = useState<string>();
  /** The search broke off during this study: it is asked for again after the next. */
  const [brokeOff, setBrokeOff] = useState<number>();
  const study = useResults((r) => r.study);
  const again = brokeOff !== undefined && study > brokeOff ? study : 0;
  // biome-ignore lint/correctness/useExhaustiveDependencies: asked once for a key; the first guess is a guess
  useEffect(() => {
    if (key === undefined) return;
    let isCurrent = true;
    findPanels(key, photo.id).then(
      (part) => {
        if (!isCurrent) return;
        const outlined = part.ok ? part.value.panels.map((p) => p.corners_px) : [];
        const quads = besides(job, photo.id, outlined);
        if (part.ok) for (const { message } of part.value.warnings) tell(message);
        const card = work?.state === 'done' ? work.value.measured.card.corners_px : undefined;
        const taken =
          choicesBefore(job, quads) ?? guessAsBefore(photo.id, quads, card) ?? firstGuess(job, quads.length);
        setOffer({ key, quads, taken, current: 0 });
      },
      () => {
        if (isCurrent) setBrokeOff(study);
      },
    );
    return () => {
      isCurrent = false;
    };
  }, [key, again]);
  const here = key !== undefined && offer?.key === key ? offer : undefined;
  if (!here) return { isSearching: key !== undefined, found: undefined, isNothing: false };
  if (here.quads.length === 0 || dismissed === key)
    return { isSearching: false, found: undefined, isNothing: here.quads.length === 0 };
  const choose = (taken: readonly Taken[], current = here.current): void => {
    rememberChoices(here.quads, taken);
    setOffer({ ...here, taken, current });
  };
  const found: Found = {
    ...here,
    choose: (current) => setOffer({ ...here, current }),
    take: (as) => choose(withTaken(here.taken, here.current, as), (here.current + 1) % here.quads.length),
    takeAll: (taken) => choose(taken),
    add: () => {
      rememberChoices(here.quads, here.taken);
      const outlined = here.quads
        .map((quad, i) => ({ quad, to: here.taken[i] }))
        .filter(({ to }) => to !== OUT);
      addFound(photo.id, outlined);
      tell(`${count(outlined.length, 'outline')} added.`);
    },
    dismiss: () => setDismissed(key),
  };
  return { isSearching: false, found, isNothing: false };
}
