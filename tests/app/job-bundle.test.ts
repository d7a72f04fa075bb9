import { describe, expect, it } from 'vitest';
import type { Job } from '../../shared/schemas/job.ts';
import { emptyJob } from '../../src/app/store/find.ts';
import { openBundle, packJob } from '../../src/app/worker/job-bundle.ts';
import { OWN_CARD } from '../../src/core/card/own.ts';

const photo = (id: string, file: string, card?: string): Job['photos'][number] => ({
  id,
  file,
  light: 'sun',
  view: 'face',
  ...(card !== undefined && { card }),
});
const place = (id: string): Job['panels'][number]['measured'][number] => ({
  photo: id,
  corners_px: [
    [0, 0],
    [9, 0],
    [9, 9],
    [0, 9],
  ],
});

async function throughABundle(job: Job, photos: Readonly<Record<string, string>>) {
  const packed = await packJob({
    job,
    photos: new Map(Object.entries(photos).map(([id, text]) => [id, new Blob([text])])),
    cards: new Map([['bench.card.json', OWN_CARD]]),
    keepMetadata: true,
  });
  const opened = await openBundle(new File([packed.file], 'copy.zip'), { allowDamaged: false });
  const texts = await Promise.all(opened.photos.map(async (p) => [p.id, await p.blob.text()]));
  return { ...opened, texts: Object.fromEntries(texts), packing: packed.warnings };
}

describe('a copy of a job', () => {
  it('brings back photos, cards, and panels that are not photographed yet', async () => {
    const job: Job = {
      ...emptyJob('Kettle'),
      photos: [photo('f1', 'a.jpg', 'bench.card.json')],
      panels: [
        { id: 'p1', measured: [place('f1')] },
        { id: 'p2', coats: 2, measured: [] },
      ],
    };
    const back = await throughABundle(job, { f1: 'pixels' });
    expect(back.job.panels).toEqual(job.panels);
    expect(back.texts).toEqual({ f1: 'pixels' });
    expect(back.cards).toEqual([{ path: back.job.photos[0].card, card: OWN_CARD }]);
    expect([back.packing, back.warnings]).toEqual([[], []]);
  });

  it('keeps two photos of one name apart', async () => {
    const job = { ...emptyJob('Kettle'), photos: [photo('f1', 'a.jpg'), photo('f2', 'a.jpg')] };
    expect((await throughABundle(job, { f1: 'one', f2: 'two' })).texts).toEqual({ f1: 'one', f2: 'two' });
  });

  it('goes without a photo that is lost and says so, with everything else whole', async () => {
    const job: Job = {
      ...emptyJob('Kettle'),
      photos: [photo('f1', 'a.jpg'), photo('f2', 'b.jpg')],
      panels: [
        {
          id: 'p1',
          measured: [place('f1'), place('f2'), { lab: [40, 30, 20], u: 0.4, photo: 'f2' }],
        },
      ],
    };
    const back = await throughABundle(job, { f1: 'one' });
    expect(back.packing.map((w) => w.code)).toEqual(['photo-lost']);
    expect(back.job.photos.map((p) => p.id)).toEqual(['f1']);
    expect(back.job.panels[0].measured).toEqual([place('f1'), { lab: [40, 30, 20], u: 0.4 }]);
  });
});
