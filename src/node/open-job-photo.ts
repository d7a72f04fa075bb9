import { basename } from 'node:path';
import { parseCard } from '../core/card/definition.ts';
import type { CardDefinition } from '../core/card/types.ts';
import type { Warning } from '../core/errors.ts';
import { parseJson } from '../core/job/index.ts';
import type { Raster } from '../core/photo/types.ts';
import { readCard } from './read-card.ts';
import type { JobFile } from './read-job.ts';
import { readPhoto } from './read-photo.ts';

/** A photo of a job as read from its file or out of its bundle, with its card where the job names one. */
export interface OpenedPhoto {
  readonly raster: Raster;
  readonly card?: CardDefinition;
  readonly warnings: readonly Warning[];
}

/** Opens a photo of a job by its id. Throws what reading throws. */
export async function openJobPhoto(
  { photoPaths, cardPaths, contents }: JobFile,
  id: string,
): Promise<OpenedPhoto> {
  const path = photoPaths.get(id) as string;
  const cardPath = cardPaths.get(id);
  const card = cardPath === undefined ? undefined : await jobCard(cardPath, contents);
  const { raster, warnings } = await readPhoto(contents?.get(path) ?? path, basename(path));
  return { raster, ...(card && { card }), warnings };
}

/** What to say of photos that are one file: each counts, and what is told by one looks surer than it is. */
export function twiceWarnings({ photoPaths }: JobFile, counted: ReadonlySet<string>): Warning[] {
  const ids = [...photoPaths.keys()].filter((id) => counted.has(id));
  return ids.flatMap((id, i): Warning[] => {
    const first = ids.slice(0, i).find((other) => photoPaths.get(other) === photoPaths.get(id));
    if (first === undefined) return [];
    return [
      {
        code: 'photo-twice',
        message: `Photos ${first} and ${id} are one file: counted twice it makes colours look surer than they are. Take one out of the job.`,
      },
    ];
  });
}

async function jobCard(path: string, contents: JobFile['contents']): Promise<CardDefinition> {
  const bytes = contents?.get(path);
  return bytes ? parseCard(parseJson(new TextDecoder().decode(bytes), path), path) : readCard(path);
}
