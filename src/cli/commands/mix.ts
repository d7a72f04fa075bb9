import { deltaE2000 } from '../../core/color/index.ts';
import { SprayoutError } from '../../core/errors.ts';
import { checkRecipe, type FilmFit, predictColour, type Recipe } from '../../core/film/index.ts';
import {
  CAUTIONS,
  type MixingSheet,
  mixingSheet,
  NOT_TINTS,
  PRACTICE,
  parsePractice,
  type SheetRequest,
} from '../../core/mix/index.ts';
import { readJob } from '../../node/read-job.ts';
import { readJson } from '../../node/read-json.ts';
import { defineCommand } from '../command.ts';
import { fitJob } from '../film-job.ts';
import { numberOption, parseParts, wholeOption } from '../parse-mix.ts';
import { table } from '../table.ts';

const help = `
Usage: sprayout mix [JOB] --mix "t1=5,t2=1" [--carrier N] (--volume ML | --panels N --coats N) [options] [--json]

The mixing sheet: parts to millilitres for a wanted volume, or for so many panels and coats. With a
job, what rounding to the cup's marks does to the colour is told from the job's own panels.

  --mix PARTS        parts of each tint: "garnet=5,amber=1"
  --carrier N        parts of carrier to one of the mix; none when left out
  --reducer PCT      reducer, % of the mixed paint; none when left out
  --volume ML        ready to spray
  --panels N         or: for so many panels …
  --coats N          … of so many coats …
  --area CM2         … of this size each; 150 cm² when left out
  --marks ML         marks of the cup, rounds to them
  --cup ML           what the cup holds
  --density NAME=G   g/ml of a tint, of carrier or of reducer, adds grams; may be given several times
  --effect           an effect coat, not a solid candy
  --practice FILE    your own figures for reducer, letdown, strainer and so on, as JSON
  --ground ID        with a job: over which ground rounding is judged; the first when left out
  --leave-out ID     with a job: sets a panel aside; may be given several times
  --allow-outside    photos and cards of the job may lie outside its folder
  --json             one JSON document: lines, total_ml, poured, rounding_de00, steps, cautions, warnings
`;

const PANEL_CM2 = 150;

export const command = defineCommand({
  help,
  options: {
    mix: { type: 'string' },
    carrier: { type: 'string' },
    reducer: { type: 'string' },
    volume: { type: 'string' },
    panels: { type: 'string' },
    coats: { type: 'string' },
    area: { type: 'string' },
    marks: { type: 'string' },
    cup: { type: 'string' },
    density: { type: 'string', multiple: true },
    effect: { type: 'boolean' },
    practice: { type: 'string' },
    ground: { type: 'string' },
    'leave-out': { type: 'string', multiple: true },
    'allow-outside': { type: 'boolean' },
  },
  async run({ values, positionals, path, tell }) {
    if (positionals.length > 1)
      throw new SprayoutError(
        'usage',
        `sprayout mix takes at most one job file, not ${positionals.length}.`,
        'See sprayout mix --help.',
      );
    if (values.mix === undefined)
      throw new SprayoutError(
        'usage',
        'sprayout mix needs --mix.',
        'Write it like --mix "garnet=5,amber=1".',
      );
    checkNeedsJob(values, positionals.length > 0);
    const carrier = numberOption(values.carrier, 'carrier', 0, 1000) ?? 0;
    const coats = wholeOption(values.coats, 'coats', 1, 100);
    const parts = parseParts(values.mix);
    const practiceFile = values.practice;
    const request: SheetRequest = {
      mix: { parts, carrier },
      reducer_pct: numberOption(values.reducer, 'reducer', 0, 100) ?? 0,
      amount: amountOf(values, coats),
      graduation_ml: numberOption(values.marks, 'marks', 0.01, 1000),
      cup_ml: numberOption(values.cup, 'cup', 1, 1e6),
      densities: densitiesOf(values.density ?? [], [...Object.keys(parts), ...NOT_TINTS]),
      effect: values.effect,
      practice:
        practiceFile === undefined
          ? PRACTICE
          : parsePractice(await readJson(path(practiceFile)), practiceFile),
    };
    const sheet = mixingSheet(request);
    for (const { message } of sheet.warnings) tell(`warning: ${message}`);
    const rounding =
      positionals.length === 0 || request.graduation_ml === undefined
        ? undefined
        : await roundingOf(request, sheet, coats, values, path(positionals[0]), tell);
    const cautions = CAUTIONS.filter((c) => c.at !== 'sanding');
    return {
      json: { ...sheet, ...(rounding === undefined ? {} : { rounding_de00: rounding }), cautions },
      words: sheetWords(
        sheet,
        rounding,
        cautions.map((c) => c.message),
      ),
    };
  },
});

/** What asks the job's film model says nothing without a job. */
function checkNeedsJob(
  values: { readonly ground?: string | undefined; readonly 'leave-out'?: readonly string[] | undefined },
  hasJob: boolean,
): void {
  if (hasJob || (values.ground === undefined && values['leave-out'] === undefined)) return;
  throw new SprayoutError(
    'usage',
    '--ground and --leave-out are for a mix with a job.',
    'Name the job file, or leave them out.',
  );
}

interface AmountValues {
  readonly volume?: string | undefined;
  readonly panels?: string | undefined;
  readonly area?: string | undefined;
}

function amountOf(values: AmountValues, coats: number | undefined): SheetRequest['amount'] {
  const volume_ml = numberOption(values.volume, 'volume', 0.1, 1e6);
  if (volume_ml !== undefined && (values.panels !== undefined || values.area !== undefined))
    throw new SprayoutError(
      'usage',
      'sprayout mix takes --volume, or --panels with --coats, not both.',
      'Leave one of them out.',
    );
  if (volume_ml !== undefined) return { volume_ml };
  const panels = wholeOption(values.panels, 'panels', 1, 10_000);
  if (panels === undefined || coats === undefined)
    throw new SprayoutError(
      'usage',
      'sprayout mix needs --volume, or --panels and --coats.',
      'Write it like --volume 200, or --panels 4 --coats 3.',
    );
  return { panels, coats, panel_cm2: numberOption(values.area, 'area', 1, 1e6) ?? PANEL_CM2 };
}

function densitiesOf(written: readonly string[], poured: readonly string[]): Record<string, number> {
  return Object.fromEntries(
    written.map((text) => {
      const at = text.lastIndexOf('=');
      if (at < 1)
        throw new SprayoutError(
          'usage',
          `--density ${text} says no amount.`,
          'Write it like --density garnet=0.98.',
        );
      const what = text.slice(0, at);
      if (!poured.includes(what))
        throw new SprayoutError(
          'usage',
          `--density ${text}: there is no ${what} in this mix.`,
          `What is poured: ${poured.join(', ')}.`,
        );
      return [what, numberOption(text.slice(at + 1), 'density', 0.1, 10) as number];
    }),
  );
}

/** ΔE2000 between the mix wanted and the mix poured, as the job's film model sees it. */
async function roundingOf(
  { mix, reducer_pct }: SheetRequest,
  sheet: MixingSheet,
  coats: number | undefined,
  values: {
    readonly ground?: string | undefined;
    readonly 'leave-out'?: string[] | undefined;
    readonly 'allow-outside'?: boolean | undefined;
  },
  jobPath: string,
  tell: (line: string) => void,
): Promise<number> {
  const jobFile = await readJob(jobPath, { allowOutside: values['allow-outside'] });
  const { fit } = await fitJob(jobFile, values['leave-out'] ?? [], tell);
  const ground = values.ground ?? fit.data.panels[0].recipe.ground;
  const recipe = (of: MixingSheet['poured']): Recipe => ({
    ...of,
    reducer_pct,
    ground,
    coats: coats ?? fit.model.usual.coats,
    clear: true,
  });
  checkRecipe(recipe(mix), 'The mix', fit.data);
  return differenceOf(fit, recipe(mix), recipe(sheet.poured));
}

function differenceOf(fit: FilmFit, a: Recipe, b: Recipe): number {
  return deltaE2000(predictColour(fit, a), predictColour(fit, b));
}

function sheetWords(sheet: MixingSheet, rounding: number | undefined, cautions: readonly string[]): string {
  const grams = sheet.lines.some((l) => l.g !== undefined);
  const rows = sheet.lines.map((l) => [
    l.what,
    `${l.ml.toFixed(1)} ml`,
    ...(grams ? [l.g === undefined ? '' : `${l.g.toFixed(1)} g`] : []),
  ]);
  const lines = [
    table(
      [
        ['pour', 'amount', ...(grams ? ['weight'] : [])],
        ...rows,
        ['in all', `${sheet.total_ml.toFixed(1)} ml`],
      ],
      [1, 2],
    ),
  ];
  if (rounding !== undefined)
    lines.push(
      '',
      `Rounding to the marks moves the colour by ${rounding.toFixed(1)}${rounding > 0.5 ? ': measure finer, or mix more' : ''}.`,
    );
  lines.push('', ...sheet.steps, `(${sheet.source})`, '', ...cautions);
  return lines.join('\n');
}
