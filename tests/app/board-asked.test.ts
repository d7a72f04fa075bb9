/** What was asked of a board is there again when the screen is. */
import { describe, expect, it } from 'vitest';
import { askedOf, keepAsk } from '../../src/app/board/asked.ts';

const TODAY = '3 May 2026';
const measured = ['p1', 'p2', 'p3'];

describe('a board', () => {
  it('shows every panel of today until something else is asked', () => {
    expect(askedOf('new', measured, TODAY)).toMatchObject({ panels: measured, date: TODAY, paper: 'a4' });
  });

  it('keeps the panels chosen for each job, and shows one that is measured since', () => {
    const ask = askedOf('lid', measured, TODAY);
    keepAsk('lid', { ...ask, panels: ['p2'], title: 'For the customer' }, measured, TODAY);
    expect(askedOf('lid', measured, TODAY)).toMatchObject({ panels: ['p2'], title: 'For the customer' });
    expect(askedOf('lid', [...measured, 'p4'], TODAY).panels).toEqual(['p2', 'p4']);
    expect(askedOf('tank', measured, TODAY).panels).toEqual(measured);
  });

  it('keeps none chosen as well', () => {
    keepAsk('lid', { ...askedOf('lid', measured, TODAY), panels: [] }, measured, TODAY);
    expect(askedOf('lid', measured, TODAY).panels).toEqual([]);
  });

  it('is dated today unless another date was typed', () => {
    keepAsk('lid', askedOf('lid', measured, TODAY), measured, TODAY);
    expect(askedOf('lid', measured, '4 May 2026').date).toBe('4 May 2026');
    keepAsk('lid', { ...askedOf('lid', measured, TODAY), date: 'Spring' }, measured, TODAY);
    expect(askedOf('lid', measured, '4 May 2026').date).toBe('Spring');
  });
});
