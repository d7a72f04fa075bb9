import type { Ladder } from '../core/advise/ladder.ts';
import { ladderPictures } from '../core/board/ladder-picture.ts';
import { boardLettering } from './annotate.ts';
import { writeWholeFile } from './write-file.ts';

/** Writes the sheets of a ladder as SVG and PNG; `place` says where each goes. Returns the paths written. */
export async function writeLadders(
  ladder: Ladder,
  place: (ground: string, kind: 'svg' | 'png') => string,
): Promise<string[]> {
  const { default: sharp } = await import('sharp');
  const written: string[] = [];
  for (const { ground, svg } of ladderPictures(ladder, await boardLettering())) {
    const [vector, picture] = [place(ground, 'svg'), place(ground, 'png')];
    await writeWholeFile(vector, svg);
    await writeWholeFile(picture, await sharp(Buffer.from(svg)).png({ compressionLevel: 9 }).toBuffer());
    written.push(vector, picture);
  }
  return written;
}
