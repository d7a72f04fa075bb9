import { join } from 'node:path';
import type { Ladder } from '../core/advise/ladder.ts';
import { ladderPictures } from '../core/board/ladder-picture.ts';
import { boardLettering } from './annotate.ts';
import { writeWholeFile } from './write-file.ts';

/** Writes the sheets of a ladder into a folder, `ladder-GROUND.svg` and `.png`. Returns the paths written. */
export async function writeLadders(ladder: Ladder, folder: string): Promise<string[]> {
  const { default: sharp } = await import('sharp');
  const written: string[] = [];
  for (const { ground, svg } of ladderPictures(ladder, await boardLettering())) {
    const name = join(folder, `ladder-${ground.replace(/[^\w-]+/g, '_')}`);
    const [vector, picture] = [`${name}.svg`, `${name}.png`];
    await writeWholeFile(vector, svg);
    await writeWholeFile(picture, await sharp(Buffer.from(svg)).png({ compressionLevel: 9 }).toBuffer());
    written.push(vector, picture);
  }
  return written;
}
