import { SprayoutError } from '../../core/errors.ts';
import { checkRecipe, type Recipe, usuallyCleared } from '../../core/film/index.ts';
import type { Job } from '../../core/job/index.ts';
import { filmNames, predictJob } from '../../core/study/index.ts';
import { readJob } from '../../node/read-job.ts';
import { onePositional } from '../arguments.ts';
import { defineCommand } from '../command.ts';
import { fitJob } from '../film-job.ts';
import { numberOption, parseParts, wholeOption } from '../parse-mix.ts';
import { plusMinus } from '../table.ts';

const help = `
Usage: sprayout predict JOB --mix "t1=5,t2=1" --coats N --ground ID [options] [--json]

What a panel that nobody sprayed yet would look like, learned from the panels of the job: its colour
with the interval that holds it 95 times of 100, and how far it would be from the target.

  --mix PARTS        parts of each tint, by tint id: "garnet=5,amber=1"; not needed for 0 coats
  --carrier N        parts of carrier to one of the mix; what is usual in the job when left out
  --reducer PCT      reducer, % of the mixed paint; what is usual in the job when left out
  --coats N          whole coats; 0 is the bare ground
  --ground ID        ground id
  --clear yes|no     cleared or not; like most of the job when left out
  --leave-out ID     sets a panel aside; may be given several times
  --allow-outside    photos and cards of the job may lie outside its folder
  --json             one JSON document: lab, u95, de00_to_target, interval95, basis, warnings
`;

export const command = defineCommand({
  help,
  options: {
    mix: { type: 'string' },
    carrier: { type: 'string' },
    reducer: { type: 'string' },
    coats: { type: 'string' },
    ground: { type: 'string' },
    clear: { type: 'string' },
    'leave-out': { type: 'string', multiple: true },
    'allow-outside': { type: 'boolean' },
  },
  async run({ values, positionals, path, tell }) {
    const file = onePositional(positionals, 'a job file', 'predict');
    const jobFile = await readJob(path(file), { allowOutside: values['allow-outside'] });
    const { job } = jobFile;
    const asked = askedRecipe(values, job);
    const { fit, warnings } = await fitJob(jobFile, values['leave-out'] ?? [], tell);
    const { usual } = fit.model;
    const sprayed = fit.data.panels.filter((p) => p.recipe.coats > 0);
    const recipe: Recipe = {
      ground: asked.ground,
      parts: asked.parts,
      coats: asked.coats,
      carrier: asked.carrier ?? usual.carrier,
      reducer_pct: asked.reducer_pct ?? usual.reducer_pct,
      clear: asked.clear ?? usuallyCleared(sprayed.map((p) => p.recipe)),
    };
    const names = filmNames(job);
    const prediction = predictJob(job, fit, recipe);
    const all = [...warnings, ...prediction.warnings];
    for (const { message } of all) tell(`warning: ${message}`);
    const { lab, u95, de00_to_target, interval95, basis } = prediction;
    const [L, a, b] = lab.map((v, i) => plusMinus(v, u95[i]));
    const lines = [`L* ${L}   a* ${a}   b* ${b}`];
    if (de00_to_target !== null && interval95)
      lines.push(
        `about ${de00_to_target.toFixed(1)} from ${names.target}, between ${interval95[0].toFixed(1)} and ${interval95[1].toFixed(1)}`,
      );
    lines.push(
      `learned from ${basis.panels_used} panels, which it explains to ${basis.residual_mean_de00.toFixed(1)} on average`,
    );
    return { json: { ...prediction, warnings: all }, words: lines.join('\n') };
  },
});

interface Asked {
  readonly ground: string;
  readonly parts: Readonly<Record<string, number>>;
  readonly coats: number;
  readonly carrier: number | undefined;
  readonly reducer_pct: number | undefined;
  readonly clear: boolean | undefined;
}

type Values = Partial<Record<'mix' | 'carrier' | 'reducer' | 'coats' | 'ground' | 'clear', string>>;

function askedRecipe(values: Values, job: Job): Asked {
  const usage = (what: string, hint: string): SprayoutError => new SprayoutError('usage', what, hint);
  const coats = wholeOption(values.coats, 'coats', 0, 100);
  if (coats === undefined) throw usage('sprayout predict needs --coats.', 'Write it like --coats 3.');
  const ground = values.ground ?? (job.grounds.length === 1 ? job.grounds[0].id : undefined);
  if (ground === undefined)
    throw usage(
      'sprayout predict needs --ground.',
      `Grounds of this job: ${job.grounds.map((g) => g.id).join(', ') || 'none'}.`,
    );
  if (values.mix === undefined && coats > 0)
    throw usage(
      'sprayout predict needs --mix for a sprayed panel.',
      'Write it like --mix "garnet=5,amber=1".',
    );
  const parts = values.mix === undefined ? {} : parseParts(values.mix);
  const carrier = numberOption(values.carrier, 'carrier', 0, 1000);
  const reducer_pct = numberOption(values.reducer, 'reducer', 0, 100);
  if (values.clear !== undefined && values.clear !== 'yes' && values.clear !== 'no')
    throw usage(`--clear ${values.clear} is neither yes nor no.`, 'Write --clear yes or --clear no.');
  const clear = values.clear === undefined ? undefined : values.clear === 'yes';
  // what is left out is taken from the job later, and is right by then
  checkRecipe(
    { ground, parts, coats, carrier: carrier ?? 0, reducer_pct: reducer_pct ?? 0, clear: clear ?? true },
    'The panel to predict',
    { tints: job.tints.map((t) => t.id), grounds: job.grounds.map((g) => g.id) },
  );
  return { ground, parts, coats, carrier, reducer_pct, clear };
}
