/** The sentence at the head: can the photos be trusted, and is every panel outlined and labelled? */
import type { Job } from '../../../shared/schemas/job.ts';
import type { Work } from '../store/work.ts';
import type { PhotoReport } from '../worker/protocol.ts';
import { hasPlaces, photoName, photoState, waitingPanels } from './photo-state.ts';
import { count, isLabelled } from './words.ts';

export interface Standing {
  readonly sentence: string;
  readonly detail: string;
  /** Another photo is what is wanted most. */
  readonly wantsPhoto?: true;
}

type Works = Readonly<Record<string, Work<PhotoReport> | undefined>>;

/** What hinders most comes first. */
export function standingOf(job: Job, works: Works): Standing {
  const { photos } = job;
  const states = photos.map((p) => photoState(works[p.id]));
  const reading = states.filter((s) => s === 'reading').length;
  const unread = photos.filter((_, i) => states[i] === 'no-card' || states[i] === 'unreadable');
  if (unread.length > 0)
    return {
      sentence:
        unread.length === 1
          ? `${photoName(unread[0])} cannot be measured.`
          : `${unread.length} of ${photos.length} photos cannot be measured.`,
      detail: 'Place the card’s corners by hand, take the photo again, or leave it out.',
    };
  if (reading > 0)
    return {
      sentence: reading === 1 ? 'A photo is being read.' : `${reading} photos are being read.`,
      detail: 'The card is looked for, the light taken out, and the panels are outlined.',
    };
  const bare = photos.filter((p) => !hasPlaces(job, p.id));
  if (bare.length > 0)
    return {
      sentence: `Nothing is outlined yet in ${bare.length === 1 ? photoName(bare[0]) : count(bare.length, 'photo')}.`,
      detail: `Take what was found, drag a box, or tap four corners.${job.target ? '' : ' A sample to match is the target, no panel.'}`,
    };
  const refused = Object.values(works).reduce(
    (sum, work) => sum + (work?.state === 'done' ? work.value.refused.length : 0),
    0,
  );
  if (refused > 0)
    return {
      sentence: `${count(refused, 'outline')} cannot be read.`,
      detail: 'Drag the corners onto the panel, or take it out of the photo.',
    };
  const doubtful = states.filter((s) => s === 'doubtful').length;
  return standingOfWaiting(job, standingOfPanels(job, doubtful));
}

/** Panels that wait for a photo come before what is to be said of the others. */
function standingOfWaiting(job: Job, others: Standing): Standing {
  const waiting = waitingPanels(job);
  const [first] = waiting;
  if (!first) return others;
  const isOne = waiting.length === 1;
  const name = first.name?.trim() || `Panel ${first.id}`;
  return {
    sentence: isOne ? `${name} waits for a photo.` : `${count(waiting.length, 'panel')} wait for a photo.`,
    detail: `Photograph ${isOne ? 'it' : 'them'} beside the card, or outline ${isOne ? 'it' : 'them'} where a photo shows ${isOne ? 'it' : 'them'} already. ${others.sentence}`,
    wantsPhoto: true,
  };
}

/** Of the panels that are in photos. */
function standingOfPanels(job: Job, doubtful: number): Standing {
  const placed = job.panels.filter((p) => p.measured.some((m) => m.photo));
  const unlabelled = placed.filter((p) => !isLabelled(p));
  if (unlabelled.length > 0)
    return {
      sentence:
        unlabelled.length === 1
          ? 'One panel has no recipe yet.'
          : `${unlabelled.length} panels have no recipe yet.`,
      detail: 'They are compared all the same. For advice on the mix, say what was sprayed on them.',
    };
  return allWell(job, placed.length, doubtful);
}

function allWell({ photos }: Job, placed: number, doubtful: number): Standing {
  const labelled =
    placed === 0
      ? 'No panel is outlined yet.'
      : `${placed === 1 ? 'The panel is' : `All ${placed} panels are`} outlined and labelled.`;
  if (doubtful > 0)
    return {
      sentence:
        doubtful === photos.length
          ? 'Take the colours with care.'
          : `${doubtful} of ${photos.length} photos: take with care.`,
      detail: `${labelled} What was wrong stands beside the photo.`,
    };
  return {
    sentence:
      photos.length === 1 ? 'The photo can be trusted.' : `All ${photos.length} photos can be trusted.`,
    detail: labelled,
  };
}
