import { basename, join, parse, resolve } from 'node:path';
import type { PanelsFile } from '../../../shared/schemas/panels.ts';
import type { CardDefinition } from '../../core/card/types.ts';
import { exitCodeOf, SprayoutError, type Warning } from '../../core/errors.ts';
import type { MeasuredPhoto, MeasureOptions } from '../../core/measure/index.ts';
import { FINDER_MISSING } from '../../core/panel/outline/missing.ts';
import type { Raster } from '../../core/photo/types.ts';
import { type OpenedPhoto, openPhoto } from '../../node/read-photo.ts';
import type { SearchBeside } from '../../node/search-beside.ts';
import { makeFolder } from '../../node/write-file.ts';
import { type Answer, type Call, defineCommand } from '../command.ts';
import { cornersOf } from '../corners.ts';
import { checkSentence, measuredWords } from '../measured-words.ts';
import { checkPictureNotAnInput } from '../not-an-input.ts';
import { asSprayoutError, errorDocument, errorWords } from '../report-error.ts';

const help = `
Usage: sprayout measure PHOTO… [--card FILE] [--card-corners "x,y x,y x,y x,y"]
                        [--panels FILE] [--leave-out IDS] [--pictures DIR] [--json]
       sprayout measure --watch DIR [the same options]

Measures the panels in each photo: finds the card, undoes camera and light, and gives every panel's
colour with the interval that holds the truth 95 times of 100. Says first how well the card itself
was read: that is what tells whether to trust the photo.

  --card FILE          a card definition; without it, the project's own card
  --card-corners "…"   corners of the card's rectangle in pixels, top left first, clockwise;
                       for charts without markers
  --panels FILE        where the panels lie; without it they are found
  --leave-out IDS      card patches not to use (a scratch, a stain): "F3,N2"; may be given several times
  --pictures DIR       writes NAME-measured.jpg of each photo there: what was found and measured
  --watch DIR          goes on with every photo that comes into the folder, until you stop it (Ctrl-C)
  --json               one JSON document; with --watch one on a line for each photo

Several photos: each is measured with the same options. One that fails does not stop the others; it
is reported in its place, and the exit status is the worst of all.
`;

/** A photo's outcome: measured, or why not. */
type Outcome = { readonly file: string } & (
  | {
      readonly measured: MeasuredPhoto;
      readonly picture: string | undefined;
      readonly warnings: readonly Warning[];
    }
  | { readonly error: SprayoutError }
);

const options = {
  card: { type: 'string' },
  'card-corners': { type: 'string' },
  panels: { type: 'string' },
  'leave-out': { type: 'string', multiple: true },
  pictures: { type: 'string' },
  watch: { type: 'string' },
} as const;

export const command = defineCommand({
  help,
  options,
  async run(call) {
    const { values, positionals } = call;
    if (positionals.length === 0 && values.watch === undefined)
      throw new SprayoutError('usage', 'sprayout measure needs a photo.', 'See sprayout measure --help.');
    let search: Promise<SearchBeside> | undefined;
    const begin = (): Promise<SearchBeside> => {
      search ??= beginSearch();
      return search;
    };
    const atRest = async (): Promise<void> => (await search)?.atRest();
    try {
      // a thread takes as long to start as the decoder takes to load, on a core that has nothing else to do
      if (values.panels === undefined && positionals.length > 0) await begin();
      return await measureAll(call, values.panels === undefined ? begin : undefined, atRest);
    } finally {
      await atRest();
    }
  },
});

/** Measures the photos named, then those that come while a folder is watched. */
async function measureAll(
  { values, positionals, path, tell }: Call<typeof options>,
  begin: (() => Promise<SearchBeside>) | undefined,
  atRest: () => Promise<void>,
): Promise<Answer> {
  // decoding takes long and has threads of its own: it begins before anything else is read
  const first = positionals.slice(0, 1).map((file) => begun(path(file), file));
  await Promise.allSettled(first);
  const corners = values['card-corners'];
  const asked: MeasureOptions = {
    ...(values.card !== undefined && { card: await readCardFile(path(values.card)) }),
    ...(corners !== undefined && { corners_px: cornersOf(corners) }),
    ...(values.panels !== undefined && { panels: await readPanelsFile(path(values.panels)) }),
    ...(values['leave-out'] !== undefined && {
      leave_out: values['leave-out'].flatMap((ids) => ids.split(/[\s,]+/)).filter(Boolean),
    }),
  };
  const folder = values.pictures === undefined ? undefined : path(values.pictures);
  if (folder !== undefined) await makeFolder(folder);
  const pictures = folder === undefined ? [] : pictureNames(positionals).map((name) => join(folder, name));
  const inputs = [...positionals, values.card, values.panels].flatMap((f) =>
    f === undefined ? [] : [path(f)],
  );
  for (const picture of pictures) await checkPictureNotAnInput(picture, inputs);
  const outcomes: Outcome[] = [];
  for (const [i, file] of positionals.entries()) {
    tell(`measuring ${file}${positionals.length > 1 ? ` (${i + 1} of ${positionals.length})` : ''}`);
    const beginning = first[i] ?? begun(path(file), file);
    outcomes.push(await outcomeOf(file, beginning, asked, pictures[i], begin));
  }
  if (values.watch === undefined) return answerOf(outcomes);
  const json = (values as { json?: boolean }).json === true;
  const show = (outcome: Outcome): void => {
    process.stdout.write(json ? `${JSON.stringify(photoDocument(outcome))}\n` : `${photoWords(outcome)}\n\n`);
  };
  outcomes.forEach(show);
  const watched = path(values.watch);
  tell(`watching ${values.watch}: stop with Ctrl-C`);
  const { watchPhotos } = await import('../../node/watch-photos.ts');
  process.once('SIGINT', () => void atRest().finally(() => process.exit(0)));
  // pictures may lie in the folder that is watched, and are no photos that came into it
  const drawn = new Set(pictures.map((picture) => resolve(picture)));
  const onPhoto = async (photo: string): Promise<void> => {
    const name = basename(photo);
    tell(`measuring ${name}`);
    inputs.push(photo);
    const picture = folder === undefined ? undefined : join(folder, pictureNames([photo])[0]);
    const beginning = checkPictureNotAnInput(picture, inputs).then(() => begun(photo, name));
    const outcome = await outcomeOf(name, beginning, asked, picture, begin);
    if (picture !== undefined && 'measured' in outcome) drawn.add(resolve(picture));
    show(outcome);
  };
  await watchPhotos(watched, onPhoto, { isOurs: (file) => drawn.has(resolve(file)) });
  return answerOf([]);
}

// what a plain call does not need stays unloaded: most of its time would go into starting

async function readCardFile(path: string): Promise<CardDefinition> {
  const { readCard } = await import('../../node/read-card.ts');
  return readCard(path);
}

async function readPanelsFile(path: string): Promise<PanelsFile> {
  const { readPanels } = await import('../../node/read-panels.ts');
  return readPanels(path);
}

/** The thread that searches photos for panels. */
async function beginSearch(): Promise<SearchBeside> {
  const { startSearch } = await import('../../node/search-beside.ts');
  return startSearch();
}

function loadStages() {
  return Promise.all([
    import('../../core/correction/index.ts'),
    import('../../core/measure/read-card.ts'),
    import('../../core/measure/photo.ts'),
  ]);
}

/** A photo being decoded, and what is loaded meanwhile. */
interface BegunPhoto extends Pick<OpenedPhoto, 'photo' | 'helpDecoding' | 'readBeside'> {
  readonly stages: ReturnType<typeof loadStages>;
}

async function begun(path: string, file: string): Promise<BegunPhoto> {
  const opening = openPhoto(path, file);
  // threads are not started while modules are loaded, and a HEIC photo waits for its threads longest
  const stages = /\.hei[cf]$/i.test(path) ? opening.then(loadStages, loadStages) : loadStages();
  return { ...(await opening), stages };
}

async function outcomeOf(
  file: string,
  beginning: Promise<BegunPhoto>,
  options: MeasureOptions,
  picture: string | undefined,
  begin: (() => Promise<SearchBeside>) | undefined,
): Promise<Outcome> {
  try {
    // loading the stages takes no time of its own: the photo is being decoded on another thread
    const { photo, stages, helpDecoding, readBeside } = await beginning;
    const search = await begin?.();
    const [{ prepareCorrection }, { placeCards, readPlacedCards }, { measurePanels }] = await stages;
    prepareCorrection(options.card?.white ?? 'D50/2');
    helpDecoding();
    readBeside();
    const { raster, warnings } = await photo;
    const searched = search?.begin(raster);
    const placed = placeCards(raster, options);
    const answer = searched?.(placed);
    const card = readPlacedCards(raster, placed, options);
    const found = await answer?.();
    const panels = options.panels?.panels ?? found?.panels ?? [];
    const measured = measurePanels(raster, card, panels, { maps: found?.maps });
    if (picture !== undefined) await draw(raster, measured, basename(file), picture);
    return {
      file,
      measured,
      picture,
      warnings: [...warnings, ...(found && !found.maps ? [FINDER_MISSING] : []), ...measured.warnings],
    };
  } catch (error) {
    return { file, error: asSprayoutError(error) };
  }
}

/** `NAME-measured.jpg` a photo, numbered where photos of several folders share a name. */
function pictureNames(files: readonly string[]): string[] {
  const names = files.map((file) => parse(file).name);
  return names.map((name, i) => {
    const before = names.slice(0, i).filter((other) => other === name).length;
    return `${name}${before > 0 ? `-${before + 1}` : ''}-measured.jpg`;
  });
}

async function draw(raster: Raster, measured: MeasuredPhoto, title: string, picture: string): Promise<void> {
  const { writeAnnotatedPhoto } = await import('../../node/annotate.ts');
  const remarks = new Map(measured.panels.map((p) => [p.id, p.warnings.map((w) => w.message)]));
  await writeAnnotatedPhoto(raster, measured, picture, {
    title,
    check: checkSentence(measured.card.check),
    remarks,
  });
}

function answerOf(outcomes: readonly Outcome[]): Answer {
  const errors = outcomes.flatMap((o) => ('error' in o ? [o.error] : []));
  if (errors.length > 0 && outcomes.length === 1) throw errors[0];
  const worst = errors.reduce<SprayoutError | undefined>(
    (a, b) => (a && exitCodeOf(a.code) >= exitCodeOf(b.code) ? a : b),
    undefined,
  );
  return {
    json: { ...(worst && errorDocument(worst)), photos: outcomes.map(photoDocument) },
    words: outcomes.map(photoWords).join('\n\n'),
    exitCode: worst ? exitCodeOf(worst.code) : 0,
  };
}

function photoDocument(outcome: Outcome): unknown {
  if ('error' in outcome) return { file: outcome.file, ...errorDocument(outcome.error) };
  // the draws stay inside: they are for the commands that compare
  const { colours, ...measured } = outcome.measured;
  const { file, picture, warnings } = outcome;
  return { file, ...measured, warnings, ...(picture !== undefined && { picture }) };
}

function photoWords(outcome: Outcome): string {
  if ('error' in outcome) return `${outcome.file}\n  ${errorWords(outcome.error).replace(/\n/g, '\n  ')}`;
  const { file, measured, picture, warnings } = outcome;
  const words = measuredWords(file, { ...measured, warnings });
  return picture === undefined ? words : `${words}\n  picture: ${picture}`;
}
