/** Gathers what a sample board says, whatever draws it. */
import type { Job, JobPanel } from '../../../shared/schemas/job.ts';
import type { WhiteName } from '../color/index.ts';
import type { ComparedPanel, Comparison } from '../compare/index.ts';
import { SprayoutError } from '../errors.ts';
import { TARGET_ID } from '../job/index.ts';
import { CAUTIONS } from '../mix/index.ts';
import { isolated } from './bidi.ts';
import { type BoardRecord, shortRecipe } from './code.ts';
import { lightSentences } from './light-shifts.ts';
import { coatsWords, countWords, recipeOf } from './recipe.ts';
import { screenColour } from './screen-colour.ts';
import { inSentence, shownText, theOne } from './shown-text.ts';
import type { BoardColour, BoardDocument, BoardPanel, BoardPicture, BoardRequest } from './types.ts';

/** Throws `usage` for a panel id that the job doesn't have, and `not-enough-panels` when there is none to show. */
export function boardDocument(request: BoardRequest): BoardDocument {
  const { job, comparison, pictures, notes } = request;
  const shown = shownPanels(request);
  const read = new Map(comparison.panels.map((p) => [p.id, p]));
  const target = read.get(TARGET_ID);
  const bare = bareGrounds(job, comparison);
  return {
    title: shownText(request.title ?? job.name) || 'Sample board',
    maker: shownText(request.maker ?? job.maker),
    date: shownText(request.date),
    white: comparison.white,
    target: target && {
      ...colourOf(target, comparison.white, pictures?.get(TARGET_ID)),
      name: shownText(job.target?.name) || 'target',
    },
    panels: shown.map((panel) => boardPanel(panel, read.get(panel.id)!, request, bare)),
    ladder: request.ladder,
    notes: shownText(notes ?? job.notes),
    cautions: CAUTIONS.map((c) => c.message),
    job: job.name,
  };
}

function shownPanels({ job, panels, comparison }: BoardRequest): JobPanel[] {
  const unknown = panels?.find((id) => !job.panels.some((p) => p.id === id));
  if (unknown !== undefined)
    throw new SprayoutError(
      'usage',
      `The job has no panel ${JSON.stringify(unknown)}.`,
      `Panels of this job: ${
        job.panels
          .slice(0, 12)
          .map((p) => p.id)
          .join(', ') || 'none'
      }${job.panels.length > 12 ? ' …' : ''}.`,
    );
  const measured = new Set(comparison.panels.map((p) => p.id));
  const chosen = panels ? [...new Set(panels)].map((id) => job.panels.find((p) => p.id === id)!) : job.panels;
  const shown = chosen.filter((p) => measured.has(p.id));
  if (shown.length === 0)
    throw new SprayoutError(
      'not-enough-panels',
      'There is no measured panel to show on a board.',
      'Measure a panel first: give it its corners in a photo, or a "lab".',
    );
  return shown;
}

function boardPanel(
  panel: JobPanel,
  read: ComparedPanel,
  request: BoardRequest,
  bare: ReadonlyMap<string, string>,
): BoardPanel {
  const { job, comparison, joined_from, pictures, lights } = request;
  const picture = pictures?.get(panel.id);
  const colour = colourOf(read, comparison.white, picture);
  const row = comparison.target.find((t) => t.panel === panel.id);
  const ground = job.grounds.find((g) => g.id === panel.ground);
  const groundName = ground && (shownText(ground.name) || ground.id);
  const theTarget = isolated(theOne(shownText(job.target?.name) ?? 'target'));
  const inLights = lights?.get(panel.id);
  return {
    ...colour,
    id: shownText(panel.id) || panel.id,
    record: panel.id,
    name: shownText(panel.name) || shownText(panel.id) || panel.id,
    recipe: recipeOf(panel, job, comparison),
    coats: panel.coats,
    ground:
      groundName === undefined
        ? undefined
        : { id: ground!.id, name: groundName, colour: bare.get(ground!.id) },
    clear: panel.clear,
    build: coatsWords(panel, groundName && isolated(inSentence(groundName))),
    difference: row && {
      de00: row.de00,
      interval95: row.interval95,
      figure: `ΔE ${row.de00.toFixed(1)} from ${theTarget}, between ${row.interval95[0].toFixed(1)} and ${row.interval95[1].toFixed(1)}`,
      words: sentence(row.words),
    },
    lights: inLights ? lightSentences(inLights, theTarget) : [],
    remarks: remarksOn(colour),
    origin: originWords(panel, job, joined_from?.get(panel.id) ?? []),
    notes: shownText(panel.notes),
  };
}

function colourOf(read: ComparedPanel, white: WhiteName, picture: BoardPicture | undefined): BoardColour {
  return {
    name: read.id,
    lab: read.lab,
    u95: read.u95,
    swatch: screenColour(read.lab, white),
    ...(picture && { picture }),
  };
}

function remarksOn({ picture, swatch }: BoardColour): string[] {
  if (picture && !picture.isWithinSpace)
    return [
      `More saturated than this file can show: a paler ${picture.space} colour of the same lightness and hue stands in.`,
    ];
  if (!swatch.isWithinScreen)
    return [
      picture
        ? 'More saturated than a plain screen (sRGB) can show; the picture needs a Display P3 screen.'
        : 'More saturated than this file can show: a paler colour of the same lightness and hue stands in.',
    ];
  return [];
}

function originWords(panel: JobPanel, job: Job, photos: readonly string[]): string {
  const stated = panel.measured.some((m) => 'lab' in m);
  const lights = [...new Set(photos.map((id) => job.photos.find((p) => p.id === id)?.light ?? 'other'))];
  const named = lights.filter((l) => l !== 'other').map((l) => LIGHT_WORDS[l]);
  const from =
    photos.length === 0
      ? ''
      : `${photos.length === 1 ? 'one photo' : `${countWords(photos.length)} photos together`}${named.length > 0 ? `, taken ${listed(named)}` : ''}`;
  if (!from) return 'Read with an instrument, or stated in the job.';
  return stated ? `Read from ${from}, and from a stated colour.` : `Read from ${from}.`;
}

const LIGHT_WORDS = {
  sun: 'in the sun',
  shade: 'in the shade',
  shop: 'under the shop’s light',
  lamp: 'under a lamp',
  other: '',
} as const;

function listed(words: readonly string[]): string {
  return words.length < 2
    ? words.join('')
    : `${words.slice(0, -1).join(', ')} and ${words[words.length - 1]}`;
}

/** The colours of grounds as measured bare, for the pictures of coats. */
function bareGrounds(job: Job, { panels, white }: Comparison): Map<string, string> {
  const out = new Map<string, string>();
  for (const panel of job.panels) {
    const read = panels.find((p) => p.id === panel.id);
    if (panel.ground !== undefined && panel.coats === 0 && read && !out.has(panel.ground))
      out.set(panel.ground, screenColour(read.lab, white).hex);
  }
  return out;
}

function sentence(words: string): string {
  const text = words.charAt(0).toUpperCase() + words.slice(1);
  return /[.!?]$/.test(text) ? text : `${text}.`;
}

/** What the code of some of a board's panels says. */
export function boardRecord({ job, white }: BoardDocument, panels: readonly BoardPanel[]): BoardRecord {
  return {
    job,
    white,
    panels: panels.map((p) => ({
      id: p.record,
      recipe: shortRecipe({ recipe: p.recipe, coats: p.coats, ground: p.ground?.id, clear: p.clear }),
      lab: p.lab,
    })),
  };
}
