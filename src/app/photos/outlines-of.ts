/** What is drawn over a photo: places of the job with their marks, outlines found, or the card being placed. */
import type { Job } from '../../../shared/schemas/job.ts';
import { panelMarks, panelName } from '../store/index.ts';
import { TARGET } from './edits.ts';
import { takenWords } from './FoundPanels.tsx';
import { OUT, placedIn } from './found.ts';
import type { Mode } from './modes.ts';
import type { Outline } from './Outlines.tsx';
import type { Found } from './use-found.ts';

const FOUND = 'found ';
export const CARD = 'card';

/** Index of a found outline by its id on the stage. */
export const foundIndex = (id: string): number | undefined =>
  id.startsWith(FOUND) ? Number(id.slice(FOUND.length)) : undefined;
export const foundId = (index: number): string => `${FOUND}${index}`;

/** Panels and target of the photo in reading order, each with its own mark. */
export function outlinesOf(job: Job, photo: string): readonly Outline[] {
  const marks = panelMarks(job);
  return placedIn(job, photo).map(({ id, corners_px }) => ({
    id,
    quad: corners_px,
    name: id === TARGET ? job.target?.name?.trim() || 'Target' : panelName(job, id),
    mark: marks.get(id) ?? '',
    kind: id === TARGET ? 'target' : 'panel',
  }));
}

export function foundOutlines(job: Job, found: Found): readonly Outline[] {
  return found.quads.map((quad, i) => ({
    id: foundId(i),
    quad,
    name: `${takenWords(job, found.taken[i])}${found.isGuess[i] ? ', a guess' : ''}`,
    mark: String(i + 1),
    kind: found.taken[i] === OUT ? 'left-out' : 'found',
  }));
}

/** What the stage shows in the mode it is in. */
export function shownOutlines(
  job: Job,
  photo: string,
  mode: Mode,
  found: Found | undefined,
): readonly Outline[] {
  if (mode.kind === 'card') return [{ id: CARD, quad: mode.quad, name: 'the card', mark: '', kind: 'card' }];
  return [...outlinesOf(job, photo), ...(found && mode.kind === 'look' ? foundOutlines(job, found) : [])];
}
