/** What the screen says of checks, lights and colours. */
import type { Job, JobPanel } from '../../../shared/schemas/job.ts';
import type { Lab } from '../../core/color/index.ts';
import { formatNumber } from '../ui/format.ts';

/** The check as one plain sentence. `mean_de00`: see `CardCheck`. */
export function checkSentence(mean_de00: number): string {
  if (!Number.isFinite(mean_de00)) return 'Too few patches are left to check the card.';
  const trusted = Math.max(1, Math.ceil(2 * mean_de00) / 2);
  const within = `The card’s patches come back within ${formatNumber(mean_de00)} on average:`;
  if (mean_de00 > 4) return `${within} do not trust the colours of this photo.`;
  return `${within} trust differences of ${formatNumber(trusted, Number.isInteger(trusted) ? 0 : 1)} and more.`;
}

/** Hue names by CIELAB hue angle, degrees, each up to its limit. Common practice, no source. */
const HUES: readonly (readonly [limit: number, name: string])[] = [
  [20, 'pinkish red'],
  [48, 'red'],
  [72, 'orange'],
  [84, 'amber'],
  [104, 'yellow'],
  [125, 'yellow green'],
  [165, 'green'],
  [210, 'blue green'],
  [250, 'sky blue'],
  [295, 'blue'],
  [325, 'violet'],
  [350, 'magenta'],
  [360, 'pinkish red'],
];

/** A colour in words: "dark, strong red". Bounds are common practice, no source. */
export function colourWords([l, a, b]: Lab): string {
  const chroma = Math.hypot(a, b);
  const light = l < 15 ? 'very dark' : l < 38 ? 'dark' : l < 62 ? 'medium' : l < 82 ? 'light' : 'very light';
  if (chroma < 4) return `${light}, grey`;
  const angle = ((Math.atan2(b, a) * 180) / Math.PI + 360) % 360;
  const hue = HUES.find(([limit]) => angle < limit)?.[1] ?? 'red';
  const strength = chroma < 12 ? 'greyish' : chroma < 30 ? 'soft' : chroma < 55 ? 'clear' : 'strong';
  return `${light}, ${strength} ${hue}`;
}

export function evennessWords(evenness_de00: number): string {
  return evenness_de00 < 0.5 ? 'even' : evenness_de00 < 1.5 ? 'nearly even' : 'uneven';
}

export function glareWords(share: number): string {
  return share < 0.01 ? 'no glare' : share <= 0.15 ? 'a little glare, left out' : 'much glare, left out';
}

/** True when anything at all is said of how a panel was sprayed. */
export function hasRecipe({ ground, coats, mix, reducer_pct, clear }: JobPanel): boolean {
  return [ground, coats, mix, reducer_pct].some((said) => said !== undefined) || clear === true;
}

/** True when a panel's recipe is complete enough to learn the paint from: ground, coats, and what was sprayed. */
export function isLabelled({ ground, coats, mix }: JobPanel): boolean {
  return ground !== undefined && coats !== undefined && (coats === 0 || mix !== undefined);
}

const short = (value: number): string => formatNumber(value, Number.isInteger(value) ? 0 : 1);

/** A panel's recipe in one line: "Garnet candy 5 : Amber candy 1, 2 coats on Bright silver". */
export function recipeLine(job: Job, panel: JobPanel): string {
  const { ground, coats, mix, clear } = panel;
  const groundName = ground && (job.grounds.find((g) => g.id === ground)?.name ?? ground);
  const ratio = Object.entries(mix?.parts ?? {})
    .filter(([, parts]) => parts > 0)
    .map(([id, parts]) => `${job.tints.find((t) => t.id === id)?.name ?? id} ${short(parts)}`);
  const said = [
    ratio.join(' : '),
    coats === undefined || coats === 0 ? '' : `${coats} ${coats === 1 ? 'coat' : 'coats'}`,
    groundName ? `${coats === 0 ? 'bare' : 'on'} ${groundName}` : coats === 0 ? 'bare' : '',
    clear ? 'cleared' : '',
  ].filter(Boolean);
  return said.length === 0 ? 'No recipe yet' : said.join(', ');
}

/** A warning of the core speaks of panels by id: here by name. */
export function named(message: string, id: string, name: string): string {
  return message.replace(new RegExp(`\\b[Pp]anel ${escaped(id)}(?=[\\s:,.]|$)`, 'g'), name);
}

const escaped = (text: string): string => text.replace(/[.*+?^${}()|[\]\\]/g, '\\$&');

export const count = (n: number, thing: string): string =>
  `${formatNumber(n, 0)} ${thing}${n === 1 ? '' : 's'}`;

/** The core's hints name the command line's options: here they are buttons. */
export function hintInApp(hint: string): string {
  return hint
    .replace(/name the card that was used with --card\b/, 'choose the card that was used')
    .replace(/\bwith --card-corners\b/, 'by hand');
}
