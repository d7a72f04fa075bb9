/** One mark a panel, on its photo, in lists and in plots. */
import { describe, expect, it } from 'vitest';
import type { Job } from '../../shared/schemas/job.ts';
import { standingsOf } from '../../src/app/match/against.ts';
import { outlinesOf } from '../../src/app/photos/outlines-of.ts';
import { boxQuad, storedQuad } from '../../src/app/photos/quads.ts';
import { emptyJob } from '../../src/app/store/find.ts';
import { panelMarks } from '../../src/app/store/marks.ts';
import type { Lab } from '../../src/core/color/index.ts';
import { comparePanels } from '../../src/core/compare/index.ts';

const marksOf = (...names: readonly string[]): readonly string[] => {
  const panels = names.map((name, i) => ({ id: `x${i}`, name, measured: [] }));
  const marks = panelMarks({ panels });
  return panels.map(({ id }) => marks.get(id) ?? '');
};

const at = (x: number, y = 100) => storedQuad(boxQuad([x, y], [x + 80, y + 90]));

/** Panel 7 lies left of Panel 1, and Panel 1 is the nearer to the target. */
const job: Job = {
  ...emptyJob('Bench'),
  photos: [{ id: 'a', file: 'a.jpg', light: 'sun', view: 'face' }],
  panels: [
    { id: 'p1', name: 'Panel 1', measured: [{ photo: 'a', corners_px: at(300) }] },
    { id: 'p7', name: 'Panel 7', measured: [{ photo: 'a', corners_px: at(100) }] },
  ],
  target: { measured: [{ photo: 'a', corners_px: at(500) }] },
};

describe('the mark of a panel', () => {
  it('is its number, where its name is one', () => {
    expect(marksOf('Panel 7', 'p8', '9', 'No. 12', 'Plate 3b')).toEqual(['7', '8', '9', '12', '3b']);
  });

  it('is the beginning of another short name', () => {
    expect(marksOf('Lid', 'Kettle', 'Garnet 2', 'A-1')).toEqual(['Lid', 'Ket', 'G2', 'A1']);
  });

  it('is, where the name is long, the number the panel was given in the job', () => {
    const panels = [{ id: 'p4', name: '5:1, two coats on silver', measured: [] }];
    expect(panelMarks({ panels }).get('p4')).toBe('4');
    expect(marksOf('Bright silver, bare')).toEqual(['BSB']);
  });

  it('is never that of another panel, nor the target’s', () => {
    expect(marksOf('Panel 7', 'p7', 'Lid', 'Lid', 'T')).toEqual(['7', '7b', 'Lid', 'Lid2', 'T2']);
    const panels = [
      { id: 'p2', name: 'two coats on pale gold', measured: [] },
      { id: 'p5', name: 'Panel 2', measured: [] },
    ];
    expect([...panelMarks({ panels })]).toEqual([
      ['target', 'T'],
      ['p5', '2'],
      ['p2', '2b'],
    ]);
  });

  it('stays when another panel is outlined in front of it', () => {
    const marked = (of: Job) => outlinesOf(of, 'a').map(({ name, mark }) => `${mark} ${name}`);
    expect(marked(job)).toEqual(['7 Panel 7', '1 Panel 1', 'T Target']);
    const more = { id: 'p8', name: 'Panel 8', measured: [{ photo: 'a', corners_px: at(10) }] };
    expect(marked({ ...job, panels: [...job.panels, more] })).toEqual([
      '8 Panel 8',
      '7 Panel 7',
      '1 Panel 1',
      'T Target',
    ]);
  });

  it('is the same in the list of distances, whatever its place there', () => {
    const lab: readonly Lab[] = [
      [40, 20, 10],
      [60, 20, 10],
      [58, 20, 10],
    ];
    const draws = Float64Array.from({ length: 64 * 9 }, (_, k) => lab[Math.floor((k % 9) / 3)][k % 3]);
    const comparison = comparePanels({ ids: ['p1', 'p7', 'target'], white: 'D50/2', lab, count: 64, draws });
    expect(standingsOf(job, comparison).map(({ panel, mark }) => [panel, mark])).toEqual([
      ['p7', '7'],
      ['p1', '1'],
    ]);
  });
});
