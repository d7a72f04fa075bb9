/** Panels' surfaces as the terminal says them. */

import { TARGET_ID } from '../core/job/index.ts';
import { evennessWords, type Lights, textureAgainst, textureWords } from '../core/lights/index.ts';
import { indented, table } from './table.ts';

/** A table a photo: texture, against which panel, and evenness. Nothing where nothing was looked at. */
export function surfaceWords({ surfaces, texture_pairs }: Lights, nameOf: (id: string) => string): string[] {
  const photos = [...new Set(surfaces.map((s) => s.photo))];
  return photos.flatMap((photo) => {
    const here = surfaces.filter((s) => s.photo === photo);
    const told = here.filter((s) => s.texture);
    // the target is what all are held against; without one, the strongest
    const strongest = [...told].sort((a, b) => b.texture!.figure - a.texture!.figure)[0];
    const held = told.find((s) => s.panel === TARGET_ID) ?? strongest;
    return [
      '',
      `Surface in photo ${photo}${held ? `, texture held against ${nameOf(held.panel)}` : ''}`,
      indented(
        table(
          here.map((s) => [
            nameOf(s.panel),
            s.evenness ? evennessWords(s.evenness) : 'not told how even: glare or dirt hides too much',
            s.texture ? textureWords(s.texture) : 'flakes too fine for this photo',
            (held && s !== held && textureAgainst(texture_pairs, photo, s.panel, held.panel)) || '',
          ]),
        ),
      ),
      ...told.flatMap((s) => s.texture!.remarks.map((r) => indented(`${nameOf(s.panel)}: ${r}`))),
    ];
  });
}
