/** A sound job document, fresh each time so that a test may spoil it. */
export function soundJob() {
  return {
    format: 'sprayout-job/1',
    name: 'kettle lid',
    white: 'D50/2',
    tints: [
      { id: 't1', name: 'garnet' },
      { id: 't2', name: 'amber' },
    ],
    grounds: [{ id: 'g1', name: 'bright silver' }],
    photos: [{ id: 'f1', file: 'photos/sun.jpg', light: 'sun', view: 'face' }],
    panels: [
      { id: 'g1-bare', ground: 'g1', coats: 0, measured: [{ lab: [80, 0, 1], u: 0.5 }] },
      {
        id: 'p1',
        name: 'first blend',
        ground: 'g1',
        mix: { parts: { t1: 5, t2: 1 } as Record<string, number>, carrier: 5 },
        coats: 3,
        clear: true,
        measured: [
          { lab: [34, 44, 24], u: 0.6, photo: 'f1' },
          {
            photo: 'f1',
            corners_px: [
              [10, 10],
              [90, 10],
              [90, 60],
              [10, 60],
            ],
          },
        ] as Record<string, unknown>[],
      },
    ] as Record<string, unknown>[],
    target: { name: 'the lid', measured: [{ lab: [33, 45, 25], u: 0.6 }] as Record<string, unknown>[] },
    pot: { mix: { parts: { t1: 5, t2: 1 } as Record<string, number>, carrier: 5 }, volume_ml: 210 },
  };
}

export type SoundJob = ReturnType<typeof soundJob>;
