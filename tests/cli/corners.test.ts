import { describe, expect, it } from 'vitest';
import { cornersOf } from '../../src/cli/corners.ts';
import { SprayoutError } from '../../src/core/errors.ts';

describe('card corners as written on the command line', () => {
  it('are four points, in whatever spacing', () => {
    expect(cornersOf(' 0,0  9.5,0 9,9\t0,9 ')).toEqual([
      [0, 0],
      [9.5, 0],
      [9, 9],
      [0, 9],
    ]);
    expect(cornersOf('-3,0 9,0 9,9 0,9')[0]).toEqual([-3, 0]);
  });

  it.each([
    ['nothing', ''],
    ['too few points', '1,2 3,4'],
    ['no numbers', 'a,b c,d e,f g,h'],
    ['a missing number', '0, 9,0 9,9 0,9'],
    ['a point too many', '0,0 9,0 9,9 0,9 5,5'],
    ['crossed corners', '0,0 9,9 9,0 0,9'],
    ['corners on a line', '0,0 1,1 2,2 3,3'],
    ['numbers that are not decimal', '0x0,0 9,0 9,9 0,9'],
    ['numbers without end', '0,0 1e999,0 9,9 0,9'],
  ])('%s: refused', (_, text) => {
    expect(() => cornersOf(text)).toThrow(SprayoutError);
    expect(() => cornersOf(text)).toThrow(/--card-corners/);
  });
});
