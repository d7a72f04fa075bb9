import { extname } from 'node:path';
import { SprayoutError } from '../../core/errors.ts';
import { openBundle } from '../../node/open-bundle.ts';
import { isBundle, readBundle } from '../../node/read-bundle.ts';
import { readJob } from '../../node/read-job.ts';
import { writeBundle } from '../../node/write-bundle.ts';
import { onePositional } from '../arguments.ts';
import { type Answer, defineCommand } from '../command.ts';
import { checkNotAnInput } from '../not-an-input.ts';
import { VERSION } from '../version.ts';

const help = `
Usage: sprayout bundle JOB --out FILE.zip [--keep-metadata] [--allow-outside] [--json]
       sprayout bundle FILE.zip --open DIR [--allow-damaged] [--json]

Packs a job, its photos and its card files into one zip file, with a checksum of each. Every command
that takes a job file takes a bundle as well, and the app reads and writes the same. The photos go in
pixel for pixel, but without place, serial numbers, owner, maker notes and thumbnails: date, exposure,
orientation and colour profile stay. Photos that cannot be cleaned are named.

  --out FILE.zip    the bundle to write
  --keep-metadata   leaves everything in the photos
  --allow-outside   photos and cards of the job may lie outside its folder
  --open DIR        unpacks a bundle into a new folder
  --allow-damaged   opens what is whole in a damaged bundle
  --json            one JSON document: bundle or folder and job, files, warnings
`;

type Tell = (line: string) => void;

export const command = defineCommand({
  help,
  options: {
    out: { type: 'string' },
    open: { type: 'string' },
    'keep-metadata': { type: 'boolean' },
    'allow-outside': { type: 'boolean' },
    'allow-damaged': { type: 'boolean' },
  },
  run({ values, positionals, path, tell }) {
    const file = path(onePositional(positionals, 'a job file or a bundle', 'bundle'));
    const { out, open } = values;
    if ((out === undefined) === (open === undefined))
      throw new SprayoutError(
        'usage',
        'sprayout bundle needs either --out FILE.zip or --open DIR.',
        'See sprayout bundle --help.',
      );
    return open !== undefined
      ? opened(file, path(open), values['allow-damaged'] ?? false, tell)
      : packed(
          file,
          path(out as string),
          values['keep-metadata'] ?? false,
          values['allow-outside'] ?? false,
          tell,
        );
  },
});

async function packed(
  file: string,
  out: string,
  keepMetadata: boolean,
  allowOutside: boolean,
  tell: Tell,
): Promise<Answer> {
  if (extname(out).toLowerCase() !== '.zip')
    throw new SprayoutError(
      'usage',
      `${out} is no name for a bundle.`,
      'Name it with --out, ending in .zip.',
    );
  const jobFile = await readJob(file, { allowOutside });
  await checkNotAnInput(out, file, jobFile);
  const {
    bytes,
    list,
    warnings: packing,
  } = await writeBundle(jobFile, out, { version: VERSION, keepMetadata });
  const warnings = [...jobFile.warnings, ...packing];
  for (const { message } of warnings) tell(`warning: ${message}`);
  const photos = list.files.filter(({ path }) => path.startsWith('photos/')).length;
  return {
    json: {
      bundle: out,
      bytes: bytes.length,
      files: list.files,
      metadata: keepMetadata ? 'kept' : 'cleaned',
      warnings,
    },
    words: [
      `${out}: the job and ${photos} photo${photos === 1 ? '' : 's'}, ${(bytes.length / 1e6).toFixed(1)} MB.`,
      keepMetadata
        ? 'Whatever the camera wrote into the photos is in the bundle, also place and serial numbers.'
        : 'Place, serial numbers and owner were taken out of the photos where no warning says otherwise.',
    ].join('\n'),
  };
}

async function opened(file: string, folder: string, allowDamaged: boolean, tell: Tell): Promise<Answer> {
  if (!(await isBundle(file)))
    throw new SprayoutError(
      'usage',
      `${file} is no bundle.`,
      'Name a zip file made by sprayout bundle with --open.',
    );
  const bundle = await readBundle(file, { allowDamaged });
  const [job, ...files] = await openBundle(bundle, folder);
  for (const { message } of bundle.warnings) tell(`warning: ${message}`);
  return {
    json: { folder, job, files, made_by: bundle.list.made_by, warnings: bundle.warnings },
    words: `${job}\nand ${files.length} file${files.length === 1 ? '' : 's'} beside it, checked against what was packed.`,
  };
}
