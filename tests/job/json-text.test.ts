import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { SprayoutError } from '../../src/core/errors.ts';
import { parseJson } from '../../src/core/job/index.ts';

function complaint(text: string): string {
  try {
    parseJson(text, 'a.json');
  } catch (error) {
    expect(error).toBeInstanceOf(SprayoutError);
    expect((error as SprayoutError).code).toBe('json-broken');
    return (error as SprayoutError).message;
  }
  throw new Error('nothing was refused');
}

describe('broken JSON', () => {
  it.each([
    ['{"a":1,}', 1, 8, '"}"'],
    ['{"a":\n [1,\n 2,, 3]}', 3, 4, '","'],
    ['{"a" 1}', 1, 6, '"1"'],
    ['[1}', 1, 3, '"}"'],
    ['nope', 1, 1, '"n"'],
    ['{"a":1} x', 1, 9, '"x"'],
    ['{"a": "no end', 1, 7, '"\\""'],
  ])('%j is broken at line %d, column %d', (text, line, column, found) => {
    expect(complaint(text)).toBe(
      `a.json is not valid JSON: line ${line}, column ${column}, unexpected ${found}.`,
    );
  });

  it('that ends too soon says so', () => {
    expect(complaint('{"a": [1, 2')).toMatch(/ends too soon/);
    expect(complaint('')).toMatch(/ends too soon/);
  });

  it('is found in any cut or bent text, and sound text passes', () => {
    fc.assert(
      fc.property(
        fc.json(),
        fc.nat(),
        fc.constantFrom('', '}', ',', '"', '\u0001', '[', ':'),
        (text, at, put) => {
          expect(parseJson(`\ufeff${text}`, 'x')).toEqual(JSON.parse(text));
          const bent = text.slice(0, at % (text.length + 1)) + put;
          let sound = true;
          try {
            JSON.parse(bent);
          } catch {
            sound = false;
          }
          if (!sound) expect(complaint(bent)).toMatch(/line \d+, column \d+/);
        },
      ),
      { seed: 5, numRuns: 300 },
    );
  });
});
