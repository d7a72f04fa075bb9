/** Reading a photo once: what an edit of the job leaves as it was is not read again. */

import { readFile } from 'node:fs/promises';
import { fileURLToPath } from 'node:url';
import { beforeAll, describe, expect, it } from 'vitest';
import type { CardDefinition } from '../../src/core/card/types.ts';
import { type Job, parseJob } from '../../src/core/job/index.ts';
import { joinJob, measureJob, type ReadPhoto, readPhoto, rereadPhoto } from '../../src/core/measure/index.ts';
import type { Raster } from '../../src/core/photo/index.ts';
import { readCard, readPhoto as readFileOfPhoto } from '../../src/node/index.ts';

const DEMO = fileURLToPath(new URL('../../samples/demo/', import.meta.url));

let job: Job;
let raster: Raster;
let card: CardDefinition;
let read: ReadPhoto;

/** The job with its first photo changed. */
const withPhoto = (change: Partial<Job['photos'][number]>): Job => ({
  ...job,
  photos: [{ ...job.photos[0], ...change }],
});

beforeAll(async () => {
  const whole = parseJob(JSON.parse(await readFile(`${DEMO}kettle-lid.job.json`, 'utf8')), 'the demo');
  const [photo] = whole.photos;
  const here = (m: Job['panels'][number]['measured']): typeof m => m.filter((r) => r.photo === photo.id);
  job = {
    ...whole,
    photos: [photo],
    panels: whole.panels
      .map((p) => ({ ...p, measured: here(p.measured) }))
      .filter((p) => p.measured.length > 0),
    target: { ...whole.target, measured: here(whole.target?.measured ?? []) },
  };
  ({ raster } = await readFileOfPhoto(`${DEMO}${photo.file}`));
  card = await readCard(`${DEMO}${photo.card}`);
  read = readPhoto(job, photo, { raster, card });
});

describe('a photo that has been read', () => {
  it('needs no pixels for a new name, recipe or order of the panels', () => {
    const edited: Job = {
      ...job,
      panels: [...job.panels].reverse().map((p) => ({ ...p, name: `new ${p.name}`, coats: 7 })),
    };
    const again = rereadPhoto(edited, edited.photos[0], card, read);
    expect(again?.card).toBe(read.card);
    expect(again?.places.map((p) => p.id)).toEqual([...edited.panels.map((p) => p.id), 'target']);
  });

  it('reads only the panel whose corner moved, with the card as it was read', () => {
    const [first, ...others] = job.panels;
    const [m] = first.measured;
    const [[x, y], b, c, d] = m.corners_px!;
    const edited: Job = {
      ...job,
      panels: [{ ...first, measured: [{ ...m, corners_px: [[x + 12, y + 9], b, c, d] }] }, ...others],
    };
    expect(rereadPhoto(edited, edited.photos[0], card, read)).toBeUndefined();
    const again = readPhoto(edited, edited.photos[0], { raster, card }, read);
    expect(again.card).toBe(read.card);
    expect(again.places[0].sampled).not.toBe(read.places[0].sampled);
    for (let i = 1; i < again.places.length; i++)
      expect(again.places[i].sampled).toBe(read.places[i].sampled);
  });

  it('joins to the same colours as measuring the whole job', () => {
    const photo = job.photos[0].id;
    const whole = measureJob(job, new Map([[photo, { raster, card }]]));
    expect(joinJob(job, new Map([[photo, read]]))).toEqual(whole);
  });

  it('keeps a panel that cannot be read apart, and the others', () => {
    const [first, ...others] = job.panels;
    const edited: Job = {
      ...job,
      panels: [
        {
          ...first,
          measured: [
            {
              photo: job.photos[0].id,
              corners_px: [
                [-50, 0],
                [90, 0],
                [90, 90],
                [-50, 90],
              ],
            },
          ],
        },
        ...others,
      ],
    };
    const again = readPhoto(edited, edited.photos[0], { raster, card }, read);
    expect(again.places[0].refused?.code).toBe('panel-outside-photo');
    const joined = joinJob(edited, new Map([[job.photos[0].id, again]]));
    expect(joined.colours.ids).toEqual([...others.map((p) => p.id), 'target']);
    expect(() => measureJob(edited, new Map([[job.photos[0].id, { raster, card }]]))).toThrow(/outside/);
  });
});

describe('a photo of a job that says how its card is to be read', () => {
  it('leaves out the patches it names', () => {
    const left = [card.patches[3].id, card.patches[8].id];
    const edited = withPhoto({ leave_out: left });
    expect(rereadPhoto(edited, edited.photos[0], card, read)).toBeUndefined();
    const again = readPhoto(edited, edited.photos[0], { raster, card }, read);
    expect(again.card.correction.check.patches_left_out).toEqual(expect.arrayContaining(left));
  });

  it('places the card by the corners it gives', () => {
    const found = read.card.placed[0].corners_px;
    const edited = withPhoto({
      card_corners_px: found.map(([x, y]) => [x, y]) as unknown as NonNullable<
        Job['photos'][number]['card_corners_px']
      >,
    });
    const again = readPhoto(edited, edited.photos[0], { raster, card }, read);
    expect(again.card.placed[0].found_by).toBe('corners');
  });
});
