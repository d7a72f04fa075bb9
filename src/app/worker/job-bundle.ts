/** Job bundles in the worker: a job with its photos and cards as one zip file, and back. Loaded when first needed. */
import { version } from '../../../package.json';
import type { CardDefinition } from '../../../shared/schemas/card.ts';
import type { Job } from '../../../shared/schemas/job.ts';
import { parseCard } from '../../core/card/definition.ts';
import { SprayoutError, type Warning } from '../../core/errors.ts';
import { BUNDLE_LIMITS, packBundle, unpackBundle } from '../../core/job/bundle/index.ts';
import { parseJson } from '../../core/job/index.ts';
import { sniffImage } from '../../core/photo/index.ts';
import type { OpenedBundle, PackedJob, PackRequest } from './protocol.ts';

/** Throws what `packBundle` throws. */
export async function packJob({ job, photos, cards, keepMetadata }: PackRequest): Promise<PackedJob> {
  const files = new Map<string, Uint8Array>();
  const lost: Warning[] = [];
  const kept: Job['photos'] = [];
  const taken = new Set<string>();
  for (const photo of job.photos) {
    const blob = photos.get(photo.id);
    if (!blob) {
      lost.push({
        code: 'photo-lost',
        message: `The photo ${photo.name ?? photo.file} is not on this device any more: the copy goes without it.`,
      });
      continue;
    }
    // photos of different folders may have the same name
    const file = taken.has(photo.file) ? `${photo.id}/${photo.file}` : photo.file;
    taken.add(file);
    files.set(file, new Uint8Array(await blob.arrayBuffer()));
    kept.push({ ...photo, file });
  }
  for (const { card } of kept) {
    const definition = card === undefined ? undefined : cards.get(card);
    if (card !== undefined && definition) files.set(card, asJson(definition));
  }
  const { bytes, warnings } = packBundle(withPhotos(job, kept, files), files, { version, keepMetadata });
  return {
    file: new Blob([bytes as BlobPart], { type: 'application/zip' }),
    warnings: [...lost, ...warnings],
  };
}

const asJson = (document: unknown): Uint8Array =>
  new TextEncoder().encode(`${JSON.stringify(document, null, 2)}\n`);

/** The job with these photos alone; a card that is not at hand is read as the project's own, as on screen. */
function withPhotos(job: Job, photos: Job['photos'], files: ReadonlyMap<string, Uint8Array>): Job {
  const ids = new Set(photos.map((p) => p.id));
  const seen = <T extends { measured: Job['panels'][number]['measured'] }>(thing: T): T => ({
    ...thing,
    measured: thing.measured.flatMap((m) => {
      if (m.photo === undefined || ids.has(m.photo)) return [m];
      return 'lab' in m ? [{ lab: m.lab, ...(m.u !== undefined && { u: m.u }) }] : [];
    }),
  });
  return {
    ...job,
    photos: photos.map(({ card, ...photo }) =>
      card !== undefined && files.has(card) ? { ...photo, card } : photo,
    ),
    panels: job.panels.map(seen),
    ...(job.target && { target: seen(job.target) }),
  };
}

/** Throws what `unpackBundle` throws, and says what a file is that is no bundle. */
export async function openBundle(
  file: File,
  { allowDamaged }: { readonly allowDamaged: boolean },
): Promise<OpenedBundle> {
  if (file.size > BUNDLE_LIMITS.total_bytes)
    throw new SprayoutError(
      'file-too-large',
      `${file.name} has ${Math.ceil(file.size / 1e6)} MB; ${BUNDLE_LIMITS.total_bytes / 1e6} MB is the most that is read.`,
      'Split the job where it was made, or export its photos smaller.',
    );
  const bytes = new Uint8Array(await file.arrayBuffer());
  refuseOtherFiles(bytes, file.name);
  const { job, files, warnings } = unpackBundle(bytes, { where: file.name, allowDamaged, allowDraft: true });
  const photos = job.photos.flatMap(({ id, file: path }) => {
    const content = files.get(path);
    return content ? [{ id, blob: new Blob([content as BlobPart]) }] : [];
  });
  const paths = new Set(job.photos.flatMap((p) => (p.card === undefined ? [] : [p.card])));
  const cards = [...paths].flatMap((path) => {
    const content = files.get(path);
    return content ? [{ path, card: readCard(content, path) }] : [];
  });
  return { job, photos, cards, warnings };
}

function readCard(content: Uint8Array, path: string): CardDefinition {
  return parseCard(parseJson(new TextDecoder().decode(content), path), path);
}

function refuseOtherFiles(bytes: Uint8Array, name: string): void {
  const refuse = (what: string, hint: string): never => {
    throw new SprayoutError('bundle-invalid', `${name} is ${what}, not a copy of a job.`, hint);
  };
  const start = new TextDecoder().decode(bytes.subarray(0, 200)).trimStart();
  if (start.startsWith('{'))
    refuse(
      /sprayout-job\//.test(new TextDecoder().decode(bytes.subarray(0, 4000)))
        ? 'a job file without its photos'
        : 'a JSON document',
      'Pack the job file with its photos on the command line (sprayout bundle FILE --out copy.zip), and bring in the zip file.',
    );
  const { type } = sniffImage(bytes);
  if (type !== 'unknown') refuse('a picture', 'Start a job, or open one, and add the picture there.');
}
