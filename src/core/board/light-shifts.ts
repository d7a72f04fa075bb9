/** What a board says of a panel from light to light: beside the target, and by itself. */
import type { Job } from '../../../shared/schemas/job.ts';
import { TARGET_ID } from '../job/index.ts';
import type { Lights, Shift } from '../lights/types.ts';
import { isolated } from './bidi.ts';
import { shownText } from './shown-text.ts';
import type { BoardLights } from './types.ts';

/** By panel id; panels photographed in one light alone are left out. */
export function boardLights(
  { photos, panels, pairs }: Pick<Lights, 'photos' | 'panels' | 'pairs'>,
  job: Pick<Job, 'photos'>,
): Map<string, BoardLights> {
  const light = new Map(photos.map((p) => [p.id, p.light]));
  const lightsOf = (ids: readonly string[]): number => new Set(ids.map((id) => light.get(id))).size;
  /** Photos as people call them. */
  const named = (words: string): string =>
    job.photos.reduce(
      (said, { id, name }) => said.replaceAll(`(photo ${id})`, `(photo ${isolated(shownText(name) ?? id)})`),
      words,
    );
  const shiftsOf = (shifts: readonly Shift[]): BoardLights['shifts'] =>
    shifts
      .filter(({ from, to }) => lightsOf([from, to]) > 1)
      .map(({ words, de00, interval95 }) => ({ words: named(words), de00, interval95 }));
  const pairOf = (panel: string): BoardLights['pair'] => {
    const pair = pairs.find(
      ({ a, b }) => (a === panel && b === TARGET_ID) || (a === TARGET_ID && b === panel),
    );
    if (!pair || lightsOf(pair.by_light.map((l) => l.photo)) < 2) return undefined;
    return { verdict: pair.verdict, words: named(pair.words) };
  };
  return new Map(
    panels.flatMap(({ panel, shifts }) => {
      const told = { pair: pairOf(panel), shifts: shiftsOf(shifts) };
      return told.pair || told.shifts.length > 0 ? [[panel, told] as const] : [];
    }),
  );
}

/** `it parts: differs another way under the shop light than in the sun; judge it in both`. */
function verdictWords({ verdict, words }: NonNullable<BoardLights['pair']>): string {
  const said = words.replace(/: /g, '; ').replace(/^(?=(?:match|differ) )/, 'the two ');
  if (verdict === 'unsure') return `it ${said}`;
  return `it ${verdict}: ${said}`;
}

/**
 * In sentences, each of which says what it is about: first the panel beside the target, then what the panel does by itself,
 * which may be nothing while the two part.
 */
export function lightSentences({ pair, shifts }: BoardLights, target: string): string[] {
  return [
    ...(pair ? [`Beside ${target} ${verdictWords(pair)}.`] : []),
    ...shifts.map(
      ({ words, de00, interval95: [low, high] }) =>
        `The panel by itself: ${words} (ΔE ${de00.toFixed(1)}, between ${low.toFixed(1)} and ${high.toFixed(1)}).`,
    ),
  ];
}
