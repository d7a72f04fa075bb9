import { describe, expect, it } from 'vitest';
import { isolated, isRightToLeft, visualOrder } from '../../src/core/board/bidi.ts';

const shown = (text: string): string => visualOrder(text).join('');
const back = (text: string): string => [...text].reverse().join('');

/* Expected orders worked out by the rules of UAX #9 (Unicode bidirectional algorithm), named in each case. */
describe('text from right to left', () => {
  it('leaves text from left to right alone', () => {
    expect(shown('5:1, three coats (gold)')).toBe('5:1, three coats (gold)');
  });

  it('turns a Hebrew word round, and keeps the figures after it in order (W2 to W7, I2, L2)', () => {
    expect(shown('לכה 12.5')).toBe(`12.5 ${back('לכה')}`);
  });

  it('keeps a Latin word readable inside Hebrew, and Hebrew inside Latin in its place', () => {
    expect(shown('לכה gold לכה')).toBe(`${back('לכה')} gold ${back('לכה')}`);
    expect(shown('over לכה gold')).toBe(`over ${back('לכה')} gold`);
  });

  it('mirrors brackets where the line runs from right to left (L4)', () => {
    expect(shown('(לכה)')).toBe(`(${back('לכה')})`);
  });

  it('keeps a ratio in one piece: separators between figures belong to them (W4)', () => {
    expect(shown('לכה 5:1')).toBe(`5:1 ${back('לכה')}`);
  });

  it('takes the direction of the first strong character (P2)', () => {
    expect(isRightToLeft('5:1 לכה gold')).toBe(true);
    expect(isRightToLeft('5:1 gold לכה')).toBe(false);
    expect(isRightToLeft('12.5')).toBe(false);
  });

  it('lets a name disturb nothing round it: isolated, the figures after it stay where they were (X5c)', () => {
    const name = 'לכה';
    expect(shown(`ΔE 3.6 from ${isolated(name)}, 2.3 to 4.3`)).toBe(`ΔE 3.6 from ${back(name)}, 2.3 to 4.3`);
    // not isolated, the first figure would join the name
    expect(shown(`ΔE 3.6 from ${name}, 2.3 to 4.3`)).not.toBe(`ΔE 3.6 from ${back(name)}, 2.3 to 4.3`);
  });
});
