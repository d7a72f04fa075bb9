import type { Job } from '../../../shared/schemas/job.ts';
import { panelName } from '../store/index.ts';
import { Notice } from '../ui/index.ts';
import type { DrawnPages } from './use-board.ts';

const MOST_NAMED = 3;

/** Whose notes are cut short on the pictures or on paper, and what to do about it; nothing where all have room. */
export function NotesLeftOut({ job, pictures, sheets }: { readonly job: Job } & DrawnPages['leftOut']) {
  const ids = [...new Set([...pictures, ...sheets])];
  if (ids.length === 0) return null;
  const named = ids.slice(0, MOST_NAMED).map((id) => (id === 'board' ? 'the board' : panelName(job, id)));
  const where =
    pictures.length === 0 ? 'the printed sheet' : sheets.length === 0 ? 'the picture' : 'the board';
  const others = ids.length > MOST_NAMED ? ' and others' : '';
  return (
    <Notice>
      The notes of {named.join(', ')}
      {others} do not all fit on {where}. Put fewer panels on a page (a page of one has the most room),
      shorten them, or save a web page, which shows them in full.
    </Notice>
  );
}
