/** Keeps the results in step with the document: every edit that matters is studied anew in the worker. */
import type { Job } from '../../../shared/schemas/job.ts';
import { forgetIndex, storeColours } from '../library/nearest.ts';
import { bench, callback, onBenchBroken, stopBench } from '../worker/client.ts';
import type { StudyEvent, StudyRequest } from '../worker/protocol.ts';
import { documentStore, openCards, openPhoto } from './document.ts';
import { beginStudy, clearResults, endStudy, resultsStore, stopStudy, takeIn } from './results.ts';
import { sessionStore, tell } from './session.ts';
import { latestOf } from './work.ts';

/** Edits that follow each other this closely are studied once, ms. */
const SETTLE_MS = 120;

let timer: ReturnType<typeof setTimeout> | undefined;
let run = 0;
let studied: { readonly id: string; readonly key: string } | undefined;

/** Follows the open document. Called once, when the app starts. */
export function followDocument(): void {
  documentStore.subscribe(({ id, job }, before) => {
    if (id !== before.id) {
      studied = undefined;
      clearTimeout(timer);
      run++;
      clearResults();
    }
    if (!id || !job || (job === before.job && id === before.id)) return;
    const key = studyKey(job);
    if (studied?.id === id && studied.key === key && !resultsStore.getState().stopped) return;
    studied = { id, key };
    clearTimeout(timer);
    timer = setTimeout(() => study(), SETTLE_MS);
  });
  sessionStore.subscribe(({ tolerances }, before) => {
    if (tolerances !== before.tolerances) study();
  });
  onBenchBroken((isRepeated, why) => {
    run++;
    stopStudy();
    const words = why === 'broken' ? 'broke off' : 'no longer answered';
    if (isRepeated) return tell(`The measuring ${words} again. Nothing is lost: go on when you like.`);
    tell(`The measuring ${words} and was started anew. Nothing is lost.`);
    study();
  });
}

/** The painter's own tolerances where the job has none. */
export function withOwnTolerances(job: Job): Job {
  const { tolerances } = sessionStore.getState();
  return job.tolerances || !tolerances ? job : { ...job, tolerances };
}

/** Notes change nothing that is measured or advised. */
function studyKey(job: Job): string {
  return JSON.stringify({ ...job, notes: undefined }, (field, value) =>
    field === 'notes' ? undefined : value,
  );
}

/** The question to the worker for the open job. */
export function studyRequest(): StudyRequest | undefined {
  const { id, job } = documentStore.getState();
  if (!id || !job) return undefined;
  const known = openCards();
  const cards = job.photos.flatMap(({ id: photo, card }) => {
    const definition = card === undefined ? undefined : known.get(card);
    return definition ? [[photo, definition] as const] : [];
  });
  return { jobId: id, job: withOwnTolerances(job), cards: Object.fromEntries(cards) };
}

/** Hands the worker a photo's bytes when it asks. */
export async function photoSource(photoId: string): Promise<Blob> {
  const blob = await openPhoto(photoId);
  if (!blob) throw new Error(`the photo ${photoId} is not on this device`);
  return blob;
}

/** Studies the open job now. */
export async function study(): Promise<void> {
  const request = studyRequest();
  if (!request) return;
  const mine = ++run;
  beginStudy(request.job.photos.map((p) => p.id));
  let isOver = false;
  const takeInMine = (event: StudyEvent): void => {
    // what is told comes by another way than the answer, and may come after it
    if (mine === run && !(isOver && event.kind === 'progress')) takeIn(event);
  };
  try {
    const whole = await bench().study(request, callback(photoSource), callback(takeInMine));
    if (mine !== run || !whole) return;
    isOver = true;
    endStudy();
    await rememberColours(request.jobId);
  } catch {
    if (mine === run) {
      stopStudy();
      tell('The measuring could not be finished. Change something, or try again.');
    }
  }
}

/** Stops the work at once: the worker is ended, and reads its photos again when it is next asked. */
export function stopWork(): void {
  run++;
  stopBench();
  stopStudy();
}

async function rememberColours(job: string): Promise<void> {
  const measured = latestOf(resultsStore.getState().colours);
  if (!measured) return;
  const { ids, lab, white } = measured.colours;
  const target = lab[ids.indexOf('target')];
  const panels = ids.flatMap((id, i) => (id === 'target' ? [] : [{ id, lab: lab[i] }]));
  const row = {
    job,
    white,
    ids: panels.map((p) => p.id),
    lab: Float32Array.from(panels.flatMap((p) => p.lab)),
    ...(target && { target }),
  };
  // a search that finds less is no reason to trouble anyone
  await storeColours(row).catch(forgetIndex);
}
