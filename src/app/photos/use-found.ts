import { useEffect, useState } from 'react';
import type { Job, JobPhoto } from '../../../shared/schemas/job.ts';
import type { Lab } from '../../core/color/index.ts';
import type { JobColours } from '../../core/measure/index.ts';
import type { QuadPx } from '../../core/photo/types.ts';
import {
  latestOf,
  photoSource,
  studyRequest,
  tell,
  useDocument,
  useResults,
  type Work,
} from '../store/index.ts';
import { bench, callback } from '../worker/client.ts';
import type { FoundPanels, Part, PhotoReport } from '../worker/protocol.ts';
import { addFound } from './edits.ts';
import {
  besides,
  choicesBefore,
  newWhereAlone,
  OUT,
  rememberChoices,
  type Taken,
  UNSAID,
  withTaken,
} from './found.ts';
import { type KnownColour, nearestFirst, withGuesses } from './guess.ts';
import { hasPanels } from './photo-state.ts';
import { guessAsBefore } from './retaken.ts';
import { count } from './words.ts';

export interface Found {
  readonly quads: readonly QuadPx[];
  /** Colours, where they could be read. */
  readonly labs: readonly (Lab | undefined)[];
  /** What each is: as said, else as guessed. */
  readonly taken: readonly Taken[];
  readonly isGuess: readonly boolean[];
  /** The outline that the chips speak of. */
  readonly current: number;
  readonly choose: (index: number) => void;
  /** Takes the current outline to be something, and goes on to the next. */
  readonly take: (as: Taken) => void;
  readonly takeAll: (taken: readonly Taken[]) => void;
  /** Panels by how near their colour is to the current outline's, as far as both are known. */
  readonly byColour: (panels: readonly string[]) => readonly string[];
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
  readonly labs: readonly (Lab | undefined)[];
  readonly said: readonly Taken[];
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
  const colours = useResults((r) => r.colours);
  const again = brokeOff !== undefined && study > brokeOff ? study : 0;
  // biome-ignore lint/correctness/useExhaustiveDependencies: asked once for a key
  useEffect(() => {
    if (key === undefined) return;
    let isCurrent = true;
    findPanels(key, photo.id).then(
      (part) => {
        if (!isCurrent) return;
        const panels = part.ok ? part.value.panels : [];
        const quads = besides(
          job,
          photo.id,
          panels.map((p) => p.corners_px),
        );
        const labs = quads.map((quad) => panels.find((p) => p.corners_px === quad)?.lab);
        if (part.ok) for (const { message } of part.value.warnings) tell(message);
        const card = work?.state === 'done' ? work.value.measured.card.corners_px : undefined;
        const said =
          choicesBefore(job, quads) ?? guessAsBefore(photo.id, quads, card) ?? quads.map(() => UNSAID);
        setOffer({ key, quads, labs, said, current: 0 });
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
  const known = photo.view === 'flop' ? [] : knownColours(colours);
  const guess = (said: readonly Taken[]): readonly Taken[] =>
    withGuesses(job, photo.id, said, here.labs, known);
  const guessed = guess(here.said);
  const taken = newWhereAlone(job, photo.id, guessed);
  const say = (said: readonly Taken[], current = here.current): void => {
    rememberChoices(here.quads, said);
    setOffer({ ...here, said, current });
  };
  const found: Found = {
    ...here,
    taken,
    isGuess: guessed.map((as, i) => as !== here.said[i]),
    choose: (current) => setOffer({ ...here, current }),
    take: (as) => {
      const said = withTaken(here.said, here.current, as);
      say(said, nextOpen(guess(said), said, here.current));
    },
    takeAll: (all) => say(all),
    byColour: (panels) => nearestFirst(panels, here.labs[here.current], known),
    add: () => {
      rememberChoices(here.quads, taken);
      const outlined = here.quads
        .map((quad, i) => ({ quad, to: taken[i] }))
        .filter(({ to }) => to !== OUT && to !== UNSAID);
      addFound(photo.id, outlined);
      tell(`${count(outlined.length, 'outline')} added.`);
    },
    dismiss: () => setDismissed(key),
  };
  return { isSearching: false, found, isNothing: false };
}

/** The outline to speak of next: one that is still open, then one that is only guessed, then simply the next. */
function nextOpen(guessed: readonly Taken[], said: readonly Taken[], current: number): number {
  const order = said.map((_, i) => (current + 1 + i) % said.length);
  const isOpen = (among: readonly Taken[]) => (i: number) => among[i] === UNSAID;
  return order.find(isOpen(guessed)) ?? order.find(isOpen(said)) ?? order[0];
}

function knownColours(work: Work<JobColours>): readonly KnownColour[] {
  const { ids, lab } = latestOf(work)?.colours ?? { ids: [], lab: [] };
  return ids.map((id, i) => ({ id, lab: lab[i] }));
}
