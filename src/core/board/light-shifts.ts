/** What a board says of a panel's colour from light to light. */
import type { Lights } from '../lights/types.ts';
import { lightWords } from '../lights/words.ts';
import type { BoardLightShift } from './types.ts';

/** By panel id; panels photographed in one light alone are left out. */
export function boardLightShifts({
  photos,
  panels,
}: Pick<Lights, 'photos' | 'panels'>): Map<string, readonly BoardLightShift[]> {
  const faces = photos.filter((p) => p.view === 'face');
  const named = (id: string): string => {
    const photo = photos.find((p) => p.id === id);
    return photo ? lightWords(photo, faces) : id;
  };
  return new Map(
    panels.flatMap(({ panel, shifts }) =>
      shifts.length === 0
        ? []
        : [
            [
              panel,
              shifts.map(({ from, to, de00, interval95, words }) => ({
                from: named(from),
                to: named(to),
                de00,
                interval95,
                words,
              })),
            ] as const,
          ],
    ),
  );
}

/** `Redder under the shop light than in the sun (ΔE 1.4, between 0.6 and 2.2).` */
export function lightSentence({ words, de00, interval95: [low, high] }: BoardLightShift): string {
  const said = words.charAt(0).toUpperCase() + words.slice(1);
  return `${said} (ΔE ${de00.toFixed(1)}, between ${low.toFixed(1)} and ${high.toFixed(1)}).`;
}
