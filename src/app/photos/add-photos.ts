/** Files on their way into the job: those that are photos go in with one edit, the others are told by name. */
import type { Job, JobPhoto } from '../../../shared/schemas/job.ts';
import { type AppProblem, edit, latestOf, resultsStore } from '../store/index.ts';
import { refuseByContent, refuseBySize } from '../worker/refuse-photo.ts';
import { withoutPhoto } from './edits.ts';
import { UNSAID } from './light.ts';
import { rememberBefore } from './retaken.ts';

/** Bytes read to tell what a file is: its header, with an embedded profile and preview before it. */
const HEAD_BYTES = 2_000_000;

export interface RefusedFile {
  readonly name: string;
  readonly problem: AppProblem;
}

export interface AddedPhotos {
  /** Ids of the photos added, in the order given. */
  readonly added: readonly string[];
  readonly refused: readonly RefusedFile[];
}

/** Why a file is not taken as a photo; undefined when it is. */
async function refusalOf(file: File): Promise<AppProblem | undefined> {
  try {
    refuseBySize(file.size, file.name);
    refuseByContent(new Uint8Array(await file.slice(0, HEAD_BYTES).arrayBuffer()), file.name);
    return undefined;
  } catch (error) {
    if (error instanceof Error && 'code' in error && 'hint' in error)
      return { code: String(error.code), message: error.message, hint: String(error.hint) };
    return {
      code: 'file-unreadable',
      message: `${file.name} cannot be read.`,
      hint: 'It may be on a drive that is gone. Copy it to this device and add it again.',
    };
  }
}

/**
 * A new photo lies beside the card of the job's last one. Its light may be another: that is asked. Its bytes never change
 * under its id.
 */
export function newPhoto(job: Job, file: Pick<File, 'name'>): JobPhoto {
  const like = job.photos.at(-1);
  const id = crypto.randomUUID();
  const kind = /\.[a-z0-9]{2,5}$/i.exec(file.name)?.[0].toLowerCase() ?? '';
  return {
    id,
    file: `photos/${id}${kind}`,
    name: file.name.slice(0, 300),
    light: UNSAID,
    view: 'face',
    ...(like?.card !== undefined && { card: like.card }),
  };
}

/** Adds photos. One taken again takes the place of photo `instead`. */
export async function addPhotos(job: Job, files: readonly File[], instead?: string): Promise<AddedPhotos> {
  const refusals = await Promise.all(files.map(refusalOf));
  const refused = files.flatMap((file, i) => {
    const problem = refusals[i];
    return problem ? [{ name: file.name, problem }] : [];
  });
  const good = files.filter((_, i) => !refusals[i]).map((file) => ({ file, photo: newPhoto(job, file) }));
  const old = job.photos.find((p) => p.id === instead);
  if (old) {
    const read = latestOf(resultsStore.getState().photos[old.id]);
    const card = old.card_corners_px ?? read?.measured.card.corners_px;
    for (const { photo } of good) rememberBefore(job, old.id, photo.id, card);
  }
  if (good.length > 0)
    edit(
      old ? 'Take the photo again' : good.length === 1 ? 'Add a photo' : 'Add photos',
      (draft) => {
        const at = draft.photos.findIndex((p) => p.id === instead);
        const photos = good.map(({ photo }) => ({ ...photo, ...(old && likeOld(old)) }));
        draft.photos.splice(at < 0 ? draft.photos.length : at, 0, ...photos);
        if (!old) return;
        const { target } = draft;
        withoutPhoto(draft, old.id);
        // it is outlined again in the new photo, and is still what the customer calls it
        if (target?.name !== undefined) draft.target ??= { name: target.name, measured: [] };
      },
      { photos: good.map(({ file, photo }) => ({ id: photo.id, blob: file })) },
    );
  return { added: good.map(({ photo }) => photo.id), refused };
}

function likeOld({ light, view, card }: JobPhoto): Partial<JobPhoto> {
  return { light, view, ...(card !== undefined && { card }) };
}
