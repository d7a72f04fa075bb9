import type { Comparison, Difference } from '../core/compare/index.ts';
import { indented, plusMinus, signed, table } from './table.ts';

/** A comparison for a terminal: colours, distance from the target, then every pair, words first. */
export function comparedWords(comparison: Comparison, nameOf: (id: string) => string): string {
  const { pairs, target, panels, tolerances } = comparison;
  const parts: string[] = [
    `Colours (L* a* b* under ${comparison.white}, ± holds 95 of 100 times)`,
    indented(
      table(
        [
          ['', 'L*', 'a*', 'b*'],
          ...panels.map(({ id, lab, u95 }) => [nameOf(id), ...lab.map((v, i) => plusMinus(v, u95[i]))]),
        ],
        [1, 2, 3],
      ),
    ),
  ];
  if (target.length > 0)
    parts.push(
      'Against the target',
      indented(differences(target.map((row) => [nameOf(row.panel), row] as const))),
    );
  if (pairs.length > 0)
    parts.push(
      'Panel against panel',
      indented(differences(pairs.map((row) => [`${nameOf(row.a)} against ${nameOf(row.b)}`, row] as const))),
    );
  parts.push(
    `ΔE is CIEDE2000; from ${tolerances.seen} it is seen side by side, up to ${tolerances.accepted} it is accepted (your job file's "tolerances" sets both).`,
  );
  return parts.join('\n\n').replace(/(Colours .*|Against the target|Panel against panel)\n\n/g, '$1\n');
}

/** A line of figures a difference, and under it what they mean. */
function differences(rows: readonly (readonly [name: string, difference: Difference])[]): string {
  const figures = table(
    [
      ['', 'ΔE', 'between', 'dL', 'dC', 'dH'],
      ...rows.map(
        ([
          name,
          {
            de00,
            interval95: [low, high],
            dL,
            dC,
            dH,
          },
        ]) => [
          name,
          de00.toFixed(1),
          `${low.toFixed(1)}–${high.toFixed(1)}`,
          signed(dL),
          signed(dC),
          signed(dH),
        ],
      ),
    ],
    [1, 2, 3, 4, 5],
  ).split('\n');
  return [figures[0], ...rows.map(([, { words }], i) => `${figures[i + 1]}\n    ${words}`)].join('\n');
}
