/** The light of a photo: never taken over from another photo, asked where it is not said, doubted where the card reads another. */
import { describe, expect, it } from 'vitest';
import type { Job } from '../../shared/schemas/job.ts';
import { lightTitle } from '../../src/app/lights/standings.ts';
import { newPhoto } from '../../src/app/photos/add-photos.ts';
import { lightQuestion, unsaid } from '../../src/app/photos/light.ts';
import { emptyJob } from '../../src/app/store/find.ts';

const job: Job = {
  ...emptyJob('Bench'),
  photos: [{ id: 'a', file: 'a.jpg', light: 'sun', view: 'face', card: 'bench.card.json' }],
};

const read = (name: 'day' | 'led' | 'lamp' | 'two kinds at once', share = 0.95) => ({
  kind: { name, share },
});

describe('a new photo', () => {
  it('lies beside the card of the last one, in a light that nobody has said yet', () => {
    const photo = newPhoto(job, { name: 'shop.jpg' });
    expect(photo).toMatchObject({ light: 'other', card: 'bench.card.json', name: 'shop.jpg' });
    expect(lightTitle(photo.light)).toBe('Light not said');
    expect(unsaid({ photos: [...job.photos, photo] })).toEqual([photo.id]);
  });
});

describe('the light of a photo', () => {
  it('is asked where it is not said, whatever the card reads', () => {
    expect(lightQuestion({ light: 'other' }, undefined)).toEqual({ asks: 'which' });
    expect(lightQuestion({ light: 'other' }, read('day'))).toEqual({ asks: 'which' });
  });

  it('is doubted where the card surely reads another kind', () => {
    expect(lightQuestion({ light: 'sun' }, read('led'))).toEqual({ asks: 'whether', to: ['shop'] });
    expect(lightQuestion({ light: 'shade' }, read('lamp'))).toEqual({ asks: 'whether', to: ['lamp'] });
    expect(lightQuestion({ light: 'shop' }, read('day'))).toEqual({ asks: 'whether', to: ['sun', 'shade'] });
  });

  it('is left alone where the card agrees, is not sure, or has not been read', () => {
    expect(lightQuestion({ light: 'sun' }, read('day'))).toBeUndefined();
    expect(lightQuestion({ light: 'shop' }, read('led'))).toBeUndefined();
    expect(lightQuestion({ light: 'lamp' }, read('led'))).toBeUndefined();
    expect(lightQuestion({ light: 'sun' }, read('led', 0.8))).toBeUndefined();
    expect(lightQuestion({ light: 'sun' }, read('two kinds at once'))).toBeUndefined();
    expect(lightQuestion({ light: 'sun' }, undefined)).toBeUndefined();
  });
});
