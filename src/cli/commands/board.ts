import { ladderOf } from '../../core/advise/ladder.ts';
import {
  BOARD_PAPERS,
  type BoardDocument,
  type BoardPaper,
  boardDocument,
  boardLights,
  MOST_PER_SHEET,
  missingOnBoard,
  notesLeftOut,
  panelPictures,
} from '../../core/board/index.ts';
import { SprayoutError, type Warning } from '../../core/errors.ts';
import { TARGET_ID } from '../../core/job/index.ts';
import { lightsOfJob } from '../../core/lights/index.ts';
import { joinJob } from '../../core/measure/index.ts';
import { compareJob, filmNames, fitJobFilm } from '../../core/study/index.ts';
import { boardEnding, boardPictures, writeBoard } from '../../node/board.ts';
import { boardFonts } from '../../node/board-fonts.ts';
import { readPicturedPhotos } from '../../node/board-photos.ts';
import { readJob } from '../../node/read-job.ts';
import { onePositional } from '../arguments.ts';
import { defineCommand } from '../command.ts';
import { checkNotAnInput } from '../not-an-input.ts';
import { wholeOption } from '../parse-mix.ts';

const help = `
Usage: sprayout board JOB --out FILE.pdf|FILE.html|FILE.png [options] [--json]

A sample board of the job's panels to print, send or post: each panel's photo, corrected to the card and
with the measured colour as its mean, held against the target; name, recipe, letdown, coats, ground and
clear, how far it is from the target, and a code that finds the record again. Nothing of a photo's
own data (place, time, camera) goes out with it.

  --out FILE         .pdf to print, .html to send (one file), .png to post (1200 × 1500)
  --panel ID         a panel to show; may be given several times; all of the job when left out
  --per-sheet N      panels on a sheet of PDF or PNG, 1 to ${MOST_PER_SHEET}; up to 6 when left out
  --paper NAME       a4 (when left out) or letter
  --title TEXT       above the panels; the job's name when left out
  --maker TEXT       who made them; the job's maker when left out
  --date TEXT        the date to print; today when left out
  --notes TEXT       below them; the job's notes when left out
  --ladder           adds the ladder of ratios and coats for each ground
  --allow-outside    photos and cards of the job may lie outside its folder
  --json             one JSON document: files, panels, warnings
`;

/** Longest side of a panel's picture by panels on a sheet, pixels: some 200 to the inch on paper. */
const longestPx = (perSheet: number): number => (perSheet <= 1 ? 1100 : perSheet <= 4 ? 700 : 480);

export const command = defineCommand({
  help,
  options: {
    out: { type: 'string' },
    panel: { type: 'string', multiple: true },
    'per-sheet': { type: 'string' },
    paper: { type: 'string' },
    title: { type: 'string' },
    maker: { type: 'string' },
    date: { type: 'string' },
    notes: { type: 'string' },
    ladder: { type: 'boolean' },
    'allow-outside': { type: 'boolean' },
  },
  async run({ values, positionals, path, tell }) {
    const file = onePositional(positionals, 'a job file', 'board');
    if (values.out === undefined)
      throw new SprayoutError(
        'usage',
        'sprayout board needs a file to write.',
        'Name it: --out lid.pdf, lid.html or lid.png.',
      );
    const out = path(values.out);
    const ending = boardEnding(out);
    const perSheet = wholeOption(values['per-sheet'], 'per-sheet', 1, MOST_PER_SHEET);
    const paper = paperOf(values.paper);
    const jobFile = await readJob(path(file), { allowOutside: values['allow-outside'] });
    await checkNotAnInput(out, path(file), jobFile);
    const { job } = jobFile;
    checkPanelIds(
      values.panel,
      job.panels.map((p) => p.id),
    );
    const { photos, warnings } = await readPicturedPhotos(jobFile, tell);
    const read = new Map([...photos].map(([id, photo]) => [id, photo.read]));
    const measured = joinJob(job, read);
    const comparison = compareJob(job, { ...measured, warnings: [...warnings, ...measured.warnings] });
    tell('cutting out the panels');
    const shown = values.panel ?? job.panels.map((p) => p.id);
    const crops = panelPictures(job, photos, measured.colours, {
      ids: [...shown, TARGET_ID],
      longest_px: longestPx(perSheet ?? shown.length),
      space: ending === '.png' ? 'sRGB' : 'auto',
    });
    const document = boardDocument({
      job,
      panels: values.panel,
      comparison,
      joined_from: measured.joined_from,
      pictures: await boardPictures(crops),
      lights: read.size > 1 ? boardLights(lightsOfJob(job, read), job) : undefined,
      title: values.title,
      maker: values.maker ?? job.maker,
      date: values.date ?? today(),
      notes: values.notes,
      ...(values.ladder && {
        ladder: ladderOf(fitJobFilm(job, measured), filmNames(job)),
      }),
    });
    const all: Warning[] = [
      ...comparison.warnings,
      ...(ending === '.html' ? [] : await sheetWarnings(document, ending, perSheet, paper)),
    ];
    for (const { message } of all) tell(`warning: ${message}`);
    const files = await writeBoard(document, out, { perSheet, paper });
    return {
      json: {
        files,
        panels: document.panels.map((panel) => ({
          id: panel.record,
          lab: panel.lab,
          picture: panel.picture && {
            space: panel.picture.space,
            within: panel.picture.isWithinSpace,
            shown_lab: crops.get(panel.record)?.shown_lab,
          },
          remarks: panel.remarks,
        })),
        warnings: all,
      },
      words: files.map((f) => `wrote ${f}`).join('\n'),
    };
  },
});

function paperOf(written: string | undefined): BoardPaper {
  const paper = BOARD_PAPERS.find((p) => p === (written ?? 'a4').toLowerCase());
  if (paper) return paper;
  throw new SprayoutError('usage', `--paper ${written} is not known.`, `Use ${BOARD_PAPERS.join(' or ')}.`);
}

/** Before any photo is opened. */
function checkPanelIds(wanted: readonly string[] | undefined, known: readonly string[]): void {
  const unknown = wanted?.find((id) => !known.includes(id));
  if (unknown !== undefined)
    throw new SprayoutError(
      'usage',
      `the job has no panel ${JSON.stringify(unknown)}.`,
      `Panels of this job: ${known.slice(0, 12).join(', ') || 'none'}${known.length > 12 ? ' …' : ''}.`,
    );
}

function today(): string {
  return new Intl.DateTimeFormat('en-GB', { dateStyle: 'long' }).format(new Date());
}

/** What a sheet of a fixed size cannot show. */
async function sheetWarnings(
  document: BoardDocument,
  ending: string,
  perSheet: number | undefined,
  paper: BoardPaper,
): Promise<Warning[]> {
  const fonts = await boardFonts();
  const leftOut = notesLeftOut(document, {
    fonts,
    perSheet,
    ...(ending === '.pdf' && { paper }),
  });
  const named = leftOut.map((id) => (id === 'board' ? 'the board' : id));
  return [
    ...missingWarnings(missingOnBoard(document, fonts)),
    ...(leftOut.length > 0
      ? [
          {
            code: 'notes-left-out',
            message: `There is no room for all notes of ${named.slice(0, MOST_NAMED).join(', ')}${named.length > MOST_NAMED ? ' and others' : ''} on the ${ending === '.pdf' ? 'sheet' : 'picture'}: shorten them, put fewer panels on a sheet, or make the board as .html, which shows them in full.`,
          },
        ]
      : []),
  ];
}

const MOST_NAMED = 12;

function missingWarnings(missing: readonly string[]): Warning[] {
  if (missing.length === 0) return [];
  const named = missing
    .slice(0, MOST_NAMED)
    .map((c) => `${c} (U+${(c.codePointAt(0) ?? 0).toString(16).toUpperCase().padStart(4, '0')})`);
  const more = missing.length > MOST_NAMED ? ` and ${missing.length - MOST_NAMED} more` : '';
  return [
    {
      code: 'characters-missing',
      message: `The board's typeface has no ${named.join(', ')}${more}: a box stands for each. A board as .html shows them in the reader's own typeface.`,
    },
  ];
}
