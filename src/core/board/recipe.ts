/** A panel's recipe as a board shows it: parts, letdown and coats, in words and as shares of a bar. */
import type { Job, JobPanel } from '../../../shared/schemas/job.ts';
import type { Comparison } from '../compare/index.ts';
import { isolated } from './bidi.ts';
import { screenColour } from './screen-colour.ts';
import { inSentence, shownText } from './shown-text.ts';

export interface BoardPart {
  readonly id: string;
  readonly name: string;
  readonly parts: number;
  /** `#rrggbb` of a panel sprayed with this tint alone, where the job has one. */
  readonly colour: string | undefined;
}

export interface BoardRecipe {
  /** The most first. */
  readonly parts: readonly BoardPart[];
  /** Parts of carrier to one of the mix. */
  readonly carrier: number | undefined;
  readonly reducer_pct: number | undefined;
  /** "5 garnet candy, 1 amber candy" */
  readonly words: string;
  /** "Let down 5:1, 5 % reducer" */
  readonly letdown: string;
}

export function recipeOf(panel: JobPanel, job: Job, comparison: Comparison): BoardRecipe | undefined {
  const { mix, reducer_pct } = panel;
  if (!mix || panel.coats === 0) return undefined;
  const parts = Object.entries(mix.parts)
    .filter(([, amount]) => amount > 0)
    .sort(([, a], [, b]) => b - a)
    .map(([id, amount]) => ({
      id,
      name: inSentence(shownText(job.tints.find((t) => t.id === id)?.name) ?? shownText(id) ?? id),
      parts: amount,
      colour: colourAlone(id, job, comparison),
    }));
  if (parts.length === 0) return undefined;
  return {
    parts,
    carrier: mix.carrier,
    reducer_pct,
    words: parts.map((p) => partWords(p, parts)).join(', '),
    letdown: letdownWords(mix.carrier, reducer_pct),
  };
}

/** "5 garnet candy", or "garnet candy alone". */
export function partWords({ name, parts }: BoardPart, all: readonly BoardPart[]): string {
  return all.length === 1 ? `${isolated(name)} alone` : `${amountWords(parts)} ${isolated(name)}`;
}

function letdownWords(carrier: number | undefined, reducer_pct: number | undefined): string {
  const said = [
    ...(carrier === undefined ? [] : [carrier === 0 ? 'not let down' : `let down ${amountWords(carrier)}:1`]),
    ...(reducer_pct === undefined || reducer_pct === 0 ? [] : [`${amountWords(reducer_pct)}\u00a0% reducer`]),
  ].join(', ');
  return said.charAt(0).toUpperCase() + said.slice(1);
}

/** A tint's colour is that of the panel sprayed with it alone; of several the one with most coats. */
function colourAlone(tint: string, job: Job, { panels, white }: Comparison): string | undefined {
  const alone = job.panels
    .filter(({ mix, coats }) => {
      const used = Object.entries(mix?.parts ?? {}).filter(([, amount]) => amount > 0);
      return (coats ?? 1) > 0 && used.length === 1 && used[0][0] === tint;
    })
    .sort((a, b) => (b.coats ?? 0) - (a.coats ?? 0));
  for (const { id } of alone) {
    const read = panels.find((p) => p.id === id);
    if (read) return screenColour(read.lab, white).hex;
  }
  return undefined;
}

/** A number of parts without needless decimals. */
export function amountWords(value: number): string {
  return String(Number(value.toFixed(2)));
}

const COUNTS = [
  'no',
  'one',
  'two',
  'three',
  'four',
  'five',
  'six',
  'seven',
  'eight',
  'nine',
  'ten',
  'eleven',
  'twelve',
];

/** A number up to twelve in letters. */
export function countWords(count: number): string {
  return COUNTS[count] ?? String(count);
}

/** "Three coats on pale gold, cleared" */
export function coatsWords({ coats, clear }: JobPanel, ground: string | undefined): string {
  const cleared = clear === undefined ? '' : clear ? ', cleared' : ', not cleared';
  if (coats === undefined) return ground === undefined ? cleared.slice(2) : `On ${ground}${cleared}`;
  if (coats === 0) return `Bare ${ground ?? 'ground'}${cleared}`;
  const count = countWords(coats);
  const counted = `${count.charAt(0).toUpperCase()}${count.slice(1)} ${coats === 1 ? 'coat' : 'coats'}`;
  return `${counted}${ground === undefined ? '' : ` on ${ground}`}${cleared}`;
}
