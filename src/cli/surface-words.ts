/** Panels' surfaces as the terminal says them. */
import { againstWords, evennessWords, heldAgainst, type Lights, textureWords } from '../core/lights/index.ts';
import { indented, table } from './table.ts';

/** A table a photo: texture, against which panel, and evenness. Nothing where nothing was looked at. */
export function surfaceWords({ surfaces }: Lights, nameOf: (id: string) => string): string[] {
  const photos = [...new Set(surfaces.map((s) => s.photo))];
  return photos.flatMap((photo) => {
    const here = surfaces.filter((s) => s.photo === photo);
    const held = heldAgainst(here);
    return [
      '',
      `Surface in photo ${photo}${held ? `, texture held against ${nameOf(held.panel)}` : ''}`,
      indented(
        table(
          here.map((s) => [
            nameOf(s.panel),
            s.evenness ? evennessWords(s.evenness) : 'not told how even: glare or dirt hides too much',
            s.texture ? textureWords(s.texture) : 'flakes too fine for this photo',
            againstWords(s, held) ?? '',
          ]),
        ),
      ),
      ...here.flatMap((s) => (s.texture?.remarks ?? []).map((r) => indented(`${nameOf(s.panel)}: ${r}`))),
    ];
  });
}
