import { describe, expect, test } from 'vitest';
import { makeCamera } from '../../samples/scene/cameras.ts';
import { randomOf } from '../../samples/scene/random.ts';
import { NM, type Spectrum71 } from '../../samples/scene/spectral.ts';

const RED = 0;
const GREEN = 1;
const BLUE = 2;
const CAMERAS = Array.from({ length: 60 }, (_, seed) => makeCamera('judge', randomOf(seed, 'camera')));

/** Where a channel falls to half of its peak, on the short side (−1) or the long side (1) of it; nm. */
function flank_nm(channel: Spectrum71, side: -1 | 1): number {
  const half = Math.max(...channel) / 2;
  let at = channel.indexOf(2 * half);
  while (channel[at + side] >= half) at += side;
  const share = (channel[at] - half) / (channel[at] - channel[at + side]);
  return NM[at] + side * 5 * share;
}

function median(values: readonly number[]): number {
  return [...values].sort((a, b) => a - b)[values.length >> 1];
}

describe('made-up cameras for judging see colours like published ones', () => {
  // each range: 4 to 36 of the 40 sensitivities of AcademySoftwareFoundation/rawtoaces-data, data/camera (Apache-2.0)
  test.each([
    ['red rises', RED, -1, 564.7, 578.9],
    ['red falls', RED, 1, 627.9, 642.3],
    ['green rises', GREEN, -1, 473.6, 492.3],
    ['green falls', GREEN, 1, 578.5, 585.8],
    ['blue falls', BLUE, 1, 501.4, 509.7],
  ] as const)('%s to half its peak where most of them do', (_, channel, side, from_nm, to_nm) => {
    const flank = median(CAMERAS.map((c) => flank_nm(c.sensitivity[channel], side)));
    expect(flank).toBeGreaterThan(from_nm);
    expect(flank).toBeLessThan(to_nm);
  });

  test('their infrared glass leaves red at 640 nm as much as in most of them', () => {
    const left = median(CAMERAS.map(({ sensitivity: [red] }) => red[(640 - NM[0]) / 5] / Math.max(...red)));
    expect(left).toBeGreaterThan(0.37);
    expect(left).toBeLessThan(0.53);
  });
});
