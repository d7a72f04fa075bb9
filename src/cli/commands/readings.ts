import { extname } from 'node:path';
import { READINGS_FORMATS, readingsOf } from '../../core/board/index.ts';
import { SprayoutError } from '../../core/errors.ts';
import { measureJobFile } from '../../node/measure-job-file.ts';
import { readJob } from '../../node/read-job.ts';
import { writeWholeFile } from '../../node/write-file.ts';
import { onePositional } from '../arguments.ts';
import { defineCommand } from '../command.ts';
import { comparedWhole } from '../compared-whole.ts';
import { dateOption } from '../date-option.ts';
import { checkNotAnInput } from '../not-an-input.ts';

const help = `
Usage: sprayout readings JOB --out FILE.cgats|FILE.csv|FILE.cxf|FILE.json [options] [--json]

Writes the measured colours of the job's panels and target for other programs: CIELAB with its white
and its doubt.

  --out FILE         .cgats (CGATS.17 text), .csv, .cxf (CxF3, ISO 17972-1) or .json
  --date DATE        the date to write, like 2026-05-01; today when left out
  --allow-outside    photos and cards of the job may lie outside its folder
  --json             one JSON document: file, readings, warnings
`;

export const command = defineCommand({
  help,
  options: {
    out: { type: 'string' },
    date: { type: 'string' },
    'allow-outside': { type: 'boolean' },
  },
  async run({ values, positionals, path, tell }) {
    const file = onePositional(positionals, 'a job file', 'readings');
    const out = path(values.out ?? '');
    const format = READINGS_FORMATS[extname(out).toLowerCase()];
    if (values.out === undefined || !format)
      throw new SprayoutError(
        'usage',
        values.out === undefined
          ? 'sprayout readings needs a file to write.'
          : `${values.out} is no name for readings.`,
        `Name it with --out, ending in ${Object.keys(READINGS_FORMATS).join(', ')}.`,
      );
    const date = dateOption(values.date);
    const jobFile = await readJob(path(file), { allowOutside: values['allow-outside'] });
    await checkNotAnInput(out, path(file), jobFile);
    const measured = await measureJobFile(jobFile, tell);
    const comparison = comparedWhole(jobFile.job, measured);
    for (const { message } of comparison.warnings) tell(`warning: ${message}`);
    const readings = readingsOf(jobFile.job, comparison, date);
    await writeWholeFile(out, format(readings));
    return {
      json: { file: out, ...readings, warnings: comparison.warnings },
      words: `wrote ${out}: ${readings.readings.length} colours under ${readings.white}`,
    };
  },
});
