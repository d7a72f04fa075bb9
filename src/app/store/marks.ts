/** The short mark of each panel: the same on its photo, in lists and in plots, whatever else is there. */
import type { Job } from '../../../shared/schemas/job.ts';

/** The target's own; no panel has it. */
export const TARGET_MARK = 'T';

/** Words that say no more than that it is a panel: its number is enough. */
const PANEL = /^(?:panel|p|plate|sample|swatch|test|no|nr|number)$/i;
/** A word, if any, and a number: "Panel 7", "Lid 3b", "no. 12", "p7", "7". */
const NUMBERED = /^(\p{L}*)[.\s#-]*(\d{1,3}\p{L}?)$/u;
/** Ids as the app gives them: the number stays with the panel when it is called something else. */
const COUNTED = /^p(\d{1,3})$/;
const LETTERS = 3;

const letters = (words: string): readonly string[] => words.match(/\p{L}+/gu) ?? [];

/** What a panel's own name says, in a few letters; undefined when it would take more. */
function ofName(name: string): string | undefined {
  const [, word, number] = NUMBERED.exec(name) ?? [];
  if (number !== undefined)
    return word === '' || PANEL.test(word) ? number : `${word[0].toUpperCase()}${number}`;
  if ([...name].length <= LETTERS) return name || undefined;
  return /^\p{L}+$/u.test(name) ? [...name].slice(0, LETTERS).join('') : undefined;
}

/** For a longer name: the number the panel was given in the job, else the first letters of its words. */
function ofId(id: string, name: string): string {
  const initials = letters(name)
    .slice(0, LETTERS)
    .map((word) => [...word][0].toUpperCase());
  return COUNTED.exec(id)?.[1] ?? (initials.join('') || [...id].slice(0, LETTERS).join(''));
}

/** The mark itself, or with 2, 3 … behind letters and b, c … behind a number until nothing else has it. */
function free(mark: string, taken: ReadonlySet<string>): string {
  const more = (n: number): string => {
    if (!/\d$/.test(mark)) return String(n);
    return n <= 26 ? String.fromCharCode(96 + n) : `-${n}`;
  };
  let tried = mark;
  for (let n = 2; taken.has(tried.toLowerCase()); n++) tried = `${mark}${more(n)}`;
  return tried;
}

/**
 * Marks by panel id, and the target's under `target`. No two are alike. A panel keeps its mark whatever is outlined
 * beside it and however near it comes: what its name says goes before what is made up for longer names.
 */
export function panelMarks({ panels }: Pick<Job, 'panels'>): ReadonlyMap<string, string> {
  const marks = new Map([['target', TARGET_MARK]]);
  const taken = new Set([TARGET_MARK.toLowerCase()]);
  const give = (id: string, mark: string): void => {
    const given = free(mark, taken);
    taken.add(given.toLowerCase());
    marks.set(id, given);
  };
  const named = panels.map(({ id, name }) => ({ id, name: name?.trim() || id }));
  const byName = named.map((panel) => ({ ...panel, mark: ofName(panel.name) }));
  for (const { id, mark } of byName) if (mark !== undefined) give(id, mark);
  for (const { id, name, mark } of byName) if (mark === undefined) give(id, ofId(id, name));
  return marks;
}
