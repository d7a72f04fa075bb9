import { describe, expect, it } from 'vitest';
import { SprayoutError } from '../../src/core/errors.ts';
import { needTarget, parseJob, parsePanels, photosWithPlaces } from '../../src/core/job/index.ts';
import { type SoundJob, soundJob } from './sample-job.ts';

function refusal(read: () => unknown): SprayoutError {
  try {
    read();
  } catch (error) {
    if (error instanceof SprayoutError) return error;
    throw error;
  }
  throw new Error('nothing was refused');
}

function spoilt(spoil: (job: SoundJob) => void): SprayoutError {
  const job = soundJob();
  spoil(job);
  return refusal(() => parseJob(job, 'lid.job.json'));
}

describe('a job document', () => {
  it('is read with its defaults filled in', () => {
    const job = parseJob(soundJob(), 'lid.job.json');
    expect(job.panels.map((p) => p.id)).toEqual(['g1-bare', 'p1']);
    expect(parseJob({ format: 'sprayout-job/1' }, 'x').white).toBe('D50/2');
  });

  it('says which photos must be opened: those in which something has a place', () => {
    expect([...photosWithPlaces(parseJob(soundJob(), 'x'))]).toEqual(['f1']);
    const job = soundJob();
    (job.panels[1].measured as unknown[]).pop();
    expect(photosWithPlaces(parseJob(job, 'x')).size).toBe(0);
  });

  it('may hold a panel that is sprayed but not photographed yet', () => {
    const job = soundJob();
    job.panels.push({ id: 'p2', name: 'still wet', ground: 'g1', coats: 2, measured: [] });
    expect(parseJob(job, 'x').panels.at(-1)?.measured).toEqual([]);
  });

  it('may lack a target until a question needs one', () => {
    const { target, ...rest } = soundJob();
    const job = parseJob(rest, 'x');
    expect(target).toBeDefined();
    expect(refusal(() => needTarget(job)).code).toBe('no-target');
    expect(() => needTarget(parseJob(soundJob(), 'x'))).not.toThrow();
  });

  it.each<[string, (job: SoundJob) => void, RegExp]>([
    ['a wrong format', (j) => (j.format = 'sprayout-job/9'), /format must be "sprayout-job\/1"/],
    ['two panels of one id', (j) => (j.panels[1].id = 'g1-bare'), /two panels have the id "g1-bare"/],
    ['two tints of one id', (j) => (j.tints[1].id = 't1'), /two tints/],
    ['a tint called carrier', (j) => (j.tints[1].id = 'carrier'), /a tint has the id "carrier"/],
    ['an id that is a word of the machine', (j) => (j.tints[1].id = 'constructor'), /the id "constructor"/],
    ['a tint called reducer', (j) => (j.tints[1].id = 'reducer'), /a tint has the id "reducer"/],
    ['two photos of one id', (j) => j.photos.push(j.photos[0]), /two photos/],
    ['an unknown ground', (j) => (j.panels[1].ground = 'g7'), /panel "p1" is on ground "g7"/],
    ['an unknown tint', (j) => (j.panels[1].mix = { parts: { t9: 1 } }), /panel "p1" .*tint "t9"/],
    ['an unknown tint in the pot', (j) => (j.pot.mix.parts = { t9: 1 }), /pot .*tint "t9"/],
    [
      'a mix without parts',
      (j) => (j.panels[1].mix = { parts: { t1: 0 } }),
      /mix of panel "p1" has no parts/,
    ],
    ['negative parts', (j) => (j.panels[1].mix = { parts: { t1: -1 } }), /panels\[1\].*"p1".* at least 0/],
    ['half a coat', (j) => (j.panels[1].coats = 2.5), /coats .*a whole number/],
    ['an unknown photo', (j) => (j.panels[1].measured = [{ lab: [1, 2, 3], photo: 'f9' }]), /photo "f9"/],
    ['a reading of nothing', (j) => (j.panels[1].measured = [{ u: 1 }]), /panels\[1\]\.measured\[0\]/],
    ['a Lab of two numbers', (j) => (j.target.measured = [{ lab: [1, 2] }]), /target\.measured\[0\]\.lab/],
    [
      'a Lab out of range',
      (j) => (j.target.measured = [{ lab: [300, 2, 3] }]),
      /lab\[0\] must be at most 110/,
    ],
    [
      'a Lab that is no number',
      (j) => (j.target.measured = [{ lab: [Number.NaN, 2, 3] }]),
      /lab\[0\] must be a number/,
    ],
    ['an infinite Lab', (j) => (j.target.measured = [{ lab: [Infinity, 2, 3] }]), /lab\[0\]/],
    [
      'corners without a photo',
      (j) =>
        (j.target.measured = [
          {
            lab: [1, 2, 3],
            corners_px: [
              [0, 0],
              [9, 0],
              [9, 9],
              [0, 9],
            ],
          },
        ]),
      /without a photo/,
    ],
    [
      'corners in the wrong order',
      (j) =>
        (j.target.measured = [
          {
            photo: 'f1',
            corners_px: [
              [0, 0],
              [9, 9],
              [9, 0],
              [0, 9],
            ],
          },
        ]),
      /no quadrilateral/,
    ],
    ['an unknown white', (j) => (j.white = 'D51/2'), /white "D51\/2"/],
    ['a panel that takes the target’s id', (j) => (j.panels[1].id = 'target'), /id "target"/],
    ['a light that is none', (j) => (j.photos[0].light = 'moon'), /light .* must be "sun" or/],
  ])('%s is refused, and the refusal says where', (_, spoil, where) => {
    const error = spoilt(spoil);
    expect(error.code).toBe('job-invalid');
    expect(error.message).toMatch(/^Job lid\.job\.json: /);
    expect(error.message).toMatch(where);
    expect(error.hint).not.toBe('');
  });

  it.each([[null], [[]], ['job'], [3], [{}]])('%j is no job', (json) => {
    expect(refusal(() => parseJob(json, 'x')).code).toBe('job-invalid');
  });
});

describe('panels outlined in a photo', () => {
  const square = [
    [0, 0],
    [50, 0],
    [50, 50],
    [0, 50],
  ];

  it('are read', () => {
    const file = { format: 'sprayout-panels/1', panels: [{ id: 'A', corners_px: square }] };
    expect(parsePanels(file, 'x').panels).toHaveLength(1);
  });

  it.each<[string, unknown]>([
    ['a wrong format', { format: 'sprayout-job/1', panels: [] }],
    [
      'two of one id',
      {
        format: 'sprayout-panels/1',
        panels: [
          { id: 'A', corners_px: square },
          { id: 'A', corners_px: square },
        ],
      },
    ],
    [
      'corners on a line',
      {
        format: 'sprayout-panels/1',
        panels: [
          {
            id: 'A',
            corners_px: [
              [0, 0],
              [1, 1],
              [2, 2],
              [3, 3],
            ],
          },
        ],
      },
    ],
    ['three corners', { format: 'sprayout-panels/1', panels: [{ id: 'A', corners_px: square.slice(1) }] }],
  ])('%s: refused', (_, json) => {
    expect(refusal(() => parsePanels(json, 'x')).code).toBe('panels-invalid');
  });
});
