/** How far a photo can be trusted: in one word, and why. */
import type { Job, JobPanel, JobPhoto } from '../../../shared/schemas/job.ts';
import type { Warning } from '../../core/errors.ts';
import { type AppProblem, latestOf, type Work } from '../store/work.ts';
import type { PhotoReport } from '../worker/protocol.ts';

export type PhotoState = 'reading' | 'sound' | 'doubtful' | 'no-card' | 'unreadable';

/** Mean leave-one-out ΔE2000 up to which a card counts as well read. */
export const SOUND_CHECK = 2.5;

/** Says something of the card or the file, not of this shot. */
const NOT_OF_THE_SHOT: ReadonlySet<string> = new Set([
  'card-nominal',
  'card-brightened',
  'bits-reduced',
  'no-panels-found',
]);

/** What was wrong with this shot: its card, its panels, its file. */
export function faultsOf(report: PhotoReport): readonly Warning[] {
  const { measured, warnings } = report;
  const all = [...measured.warnings, ...measured.panels.flatMap((p) => p.warnings), ...warnings];
  return all.filter((w) => !NOT_OF_THE_SHOT.has(w.code));
}

/** What else there is to know of the card and the file. */
export function remarksOn({ measured, warnings }: PhotoReport): readonly Warning[] {
  return [...measured.warnings, ...warnings].filter(
    (w) => NOT_OF_THE_SHOT.has(w.code) && w.code !== 'no-panels-found',
  );
}

/** A refusal by its code: the file itself, or the card in it. */
const isFileProblem = (problem: AppProblem): boolean => /^(image|file)-|^internal$/.test(problem.code);

export function photoState(work: Work<PhotoReport> | undefined): PhotoState {
  if (work?.state === 'failed') return isFileProblem(work.problem) ? 'unreadable' : 'no-card';
  const report = latestOf(work);
  if (!report) return 'reading';
  const { mean_de00 } = report.measured.card.check;
  const isSound = mean_de00 <= SOUND_CHECK && faultsOf(report).length === 0 && report.refused.length === 0;
  return isSound ? 'sound' : 'doubtful';
}

export const STATE_WORDS: Readonly<Record<PhotoState, string>> = {
  reading: 'Reading',
  sound: 'Sound',
  doubtful: 'Doubtful',
  'no-card': 'Card not read',
  unreadable: 'Not a photo',
};

/** What a photo is called: its own name, else its file's. */
export function photoName(photo: JobPhoto): string {
  return photo.name?.trim() || (photo.file.split('/').at(-1) ?? photo.file);
}

/** Panels that are noted and not seen in any photo yet, nor read by an instrument. */
export function waitingPanels({ panels }: Job): readonly JobPanel[] {
  return panels.filter((p) => p.measured.length === 0);
}

/** Whether anything of the job has a place in a photo. */
export function hasPlaces(job: Job, photo: string): boolean {
  return [...job.panels, ...(job.target ? [job.target] : [])].some((thing) =>
    thing.measured.some((m) => m.photo === photo && m.corners_px),
  );
}

/** Whether any panel of the job is outlined in a photo; the target alone is none. */
export function hasPanels(job: Job, photo: string): boolean {
  return job.panels.some((panel) => panel.measured.some((m) => m.photo === photo && m.corners_px));
}
