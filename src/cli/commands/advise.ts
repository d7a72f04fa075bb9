import { type AdviseSettings, PRICES, type Prices } from '../../core/advise/index.ts';
import { ladderOf } from '../../core/advise/ladder.ts';
import { SprayoutError } from '../../core/errors.ts';
import type { PanelResidual } from '../../core/film/index.ts';
import { type Job, needTarget } from '../../core/job/index.ts';
import { adviseJob, filmNames } from '../../core/study/index.ts';
import { readJob } from '../../node/read-job.ts';
import { makeFolder } from '../../node/write-file.ts';
import { adviceWords } from '../advised-words.ts';
import { onePositional } from '../arguments.ts';
import { defineCommand } from '../command.ts';
import { fitJob } from '../film-job.ts';
import { numberOption, wholeOption } from '../parse-mix.ts';

const help = `
Usage: sprayout advise JOB [options] [--json]

What to spray next to come closer to the target, and what to pour into the pot for it: learned from
all measured panels of the job. Only adding to the pot is possible.

  --max-parts N      whole parts of all tints together, at most; 12 when left out
  --max-coats N      coats, at most; 8 when left out
  --grounds IDS      grounds to use, like "silver,gold"; all measured ones when left out
  --carriers LIST    letdowns to try, parts of carrier to one of mix, like "4,5,6"
  --cup ML           what the cup holds
  --price NAME=DE    what leaving the beaten track must gain in ΔE: ${Object.keys(PRICES).join(', ')};
                     may be given several times
  --leave-out ID     sets a panel aside; may be given several times
  --ladder DIR       writes the ratio × coats ladder of each ground there, as SVG and PNG
  --allow-outside    photos and cards of the job may lie outside its folder
  --json             one JSON document: now, suggestions, reach, panels, warnings; a suggestion's
                     pot is null where there is none or adding can't get there (pot_words says which)
`;

export const command = defineCommand({
  help,
  options: {
    'max-parts': { type: 'string' },
    'max-coats': { type: 'string' },
    grounds: { type: 'string' },
    carriers: { type: 'string' },
    cup: { type: 'string' },
    price: { type: 'string', multiple: true },
    'leave-out': { type: 'string', multiple: true },
    ladder: { type: 'string' },
    'allow-outside': { type: 'boolean' },
  },
  async run({ values, positionals, path, tell }) {
    const file = onePositional(positionals, 'a job file', 'advise');
    const jobFile = await readJob(path(file), { allowOutside: values['allow-outside'] });
    const { job } = jobFile;
    needTarget(job);
    const settings = settingsOf(values, job);
    const cup_ml = numberOption(values.cup, 'cup', 1, 1e6) ?? job.cup_ml;
    const { fit, warnings } = await fitJob(jobFile, values['leave-out'] ?? [], tell);
    const advice = adviseJob({ ...job, cup_ml }, fit, settings);
    const all = [...warnings, ...advice.warnings];
    for (const { message } of all) tell(`warning: ${message}`);
    let pictures: string[] = [];
    if (values.ladder !== undefined) {
      const folder = path(values.ladder);
      await makeFolder(folder);
      tell(`drawing the ladders into ${folder}`);
      // what draws takes longer to load than the advice to find
      const { writeLadders } = await import('../../node/ladders.ts');
      pictures = await writeLadders(ladderOf(fit, filmNames(job), advice.suggestions[0]), folder);
    }
    return {
      json: {
        ...advice,
        panels: fit.residuals.map(residualDocument),
        ...(pictures.length > 0 ? { pictures } : {}),
        warnings: all,
      },
      words: [adviceWords(advice, fit), ...pictures.map((p) => `wrote ${p}`)].join('\n'),
    };
  },
});

type Values = {
  readonly [K in 'max-parts' | 'max-coats' | 'grounds' | 'carriers' | 'cup']?: string | undefined;
} & { readonly price?: string[] | undefined };

function settingsOf(values: Values, job: Job): Partial<AdviseSettings> {
  const partsUpTo = wholeOption(values['max-parts'], 'max-parts', 1, 40);
  const coatsUpTo = wholeOption(values['max-coats'], 'max-coats', 1, 20);
  const grounds = values.grounds?.split(',').map((g) => g.trim());
  const unknown = grounds?.find((g) => !job.grounds.some((known) => known.id === g));
  if (unknown !== undefined)
    throw new SprayoutError(
      'usage',
      `the job has no ground ${JSON.stringify(unknown)}.`,
      `Grounds of this job: ${job.grounds.map((g) => g.id).join(', ') || 'none'}.`,
    );
  const carriers = values.carriers?.split(',').map((c) => numberOption(c, 'carriers', 0, 1000) as number);
  return {
    ...(partsUpTo === undefined ? {} : { partsUpTo }),
    ...(coatsUpTo === undefined ? {} : { coatsUpTo }),
    ...(grounds ? { grounds } : {}),
    ...(carriers ? { carriers } : {}),
    prices: pricesOf(values.price ?? []),
  };
}

function pricesOf(written: readonly string[]): Prices {
  const prices = { ...PRICES } as Record<keyof Prices, number>;
  for (const text of written) {
    const [name, amount] = text.split('=');
    if (!Object.hasOwn(PRICES, name))
      throw new SprayoutError(
        'usage',
        `--price ${text}: there is no price ${JSON.stringify(name)}.`,
        `Prices: ${Object.keys(PRICES).join(', ')}.`,
      );
    prices[name as keyof Prices] = numberOption(amount ?? '', `price ${name}`, 0, 100) as number;
  }
  return prices;
}

function residualDocument({ id, lab, predicted, de00, de00_alone, film, suspect }: PanelResidual): unknown {
  return {
    panel: id,
    lab,
    predicted,
    residual_de00: de00,
    ...(de00_alone === undefined ? {} : { de00_alone }),
    film,
    suspect,
  };
}
