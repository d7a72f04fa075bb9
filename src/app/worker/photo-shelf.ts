/** The photos the worker has at hand: decoded pixels as long as there is room, and what was read in them. */
import type { CardDefinition } from '../../../shared/schemas/card.ts';
import type { Job, JobPhoto } from '../../../shared/schemas/job.ts';
import { SprayoutError } from '../../core/errors.ts';
import { cardKey, type ReadPhoto, readPhoto, rereadPhoto } from '../../core/measure/index.ts';
import { type Part, type Problem, problemOf } from '../../core/study/index.ts';
import { type DecodedPhoto, decodePhoto } from './decode.ts';
import type { PhotoSource } from './protocol.ts';

/** Decoded pixels kept, bytes: eight photos of 12 megapixels. */
const ROOM_BYTES = 300e6;

interface Shelved {
  decoded?: Promise<DecodedPhoto>;
  read?: ReadPhoto;
  /** Why the card could not be read, and by which key that was tried. */
  refused?: { readonly key: string; readonly problem: Problem };
}

export interface ShelvedRead {
  readonly read: ReadPhoto;
  readonly warnings: DecodedPhoto['warnings'];
}

const shelf = new Map<string, Shelved>();
const warningsOf = new Map<string, DecodedPhoto['warnings']>();

/** Reads a photo for a job, from what is at hand where that still holds. Its bytes never change under its id. */
export async function readShelved(
  jobId: string,
  job: Job,
  photo: JobPhoto,
  card: CardDefinition | undefined,
  source: PhotoSource,
): Promise<Part<ShelvedRead>> {
  const key = `${jobId}/${photo.id}`;
  const shelved = shelf.get(key) ?? {};
  shelf.set(key, shelved);
  try {
    const kept = rereadPhoto(job, photo, card, shelved.read);
    if (!kept) {
      const refused = shelved.refused;
      if (refused?.key === cardKey(photo, card)) return { ok: false, problem: refused.problem };
      const { raster } = await decodedPhoto(jobId, photo, source);
      try {
        shelved.read = readPhoto(job, photo, { raster, card }, shelved.read);
      } catch (error) {
        shelved.refused = { key: cardKey(photo, card), problem: problemOf(error) };
        throw error;
      }
    } else shelved.read = kept;
    return { ok: true, value: { read: shelved.read as ReadPhoto, warnings: warningsOf.get(key) ?? [] } };
  } catch (error) {
    return { ok: false, problem: problemOf(error) };
  }
}

/** The photo's pixels. Throws what decoding throws. */
export async function decodedPhoto(
  jobId: string,
  photo: JobPhoto,
  source: PhotoSource,
): Promise<DecodedPhoto> {
  const key = `${jobId}/${photo.id}`;
  const shelved = shelf.get(key) ?? {};
  shelf.delete(key); // the map's order is the order of use
  shelf.set(key, shelved);
  shelved.decoded ??= source(photo.id)
    .catch(() => {
      throw lostPhoto(photo);
    })
    .then((blob) => decodePhoto(blob, photo.name ?? photo.file));
  const decoded = await shelved.decoded;
  warningsOf.set(key, decoded.warnings);
  await makeRoom(key);
  return decoded;
}

const lostPhoto = ({ name, file }: JobPhoto): SprayoutError =>
  new SprayoutError(
    'file-not-found',
    `${name ?? file} is not on this device.`,
    'Take it out of the job, or bring the job in again from a copy that holds it.',
  );

async function makeRoom(inUse: string): Promise<void> {
  let bytes = 0;
  for (const [key, shelved] of [...shelf].reverse()) {
    const size = await shelved.decoded?.then(
      (d) => d.raster.data.byteLength,
      () => 0,
    );
    bytes += size ?? 0;
    if (bytes > ROOM_BYTES && key !== inUse) delete shelved.decoded;
  }
}
