import type { Comparison, Difference } from '../core/compare/index.ts';
import { indented, plusMinus, signed, table } from './table.ts';

/** Pairs within this many accepted tolerances are worth a painter's look; the others are plainly different. */
const NEAR = 3;

/**
 * A comparison for a terminal: colours, distance from the target and pairs of panels, nearest first, each with what it
 * means. Of the pairs all are listed, the `nearest` few, or those that are not plainly different; the others are counted.
 */
export function comparedWords(
  { pairs, target, panels, tolerances, white }: Comparison,
  nameOf: (id: string) => string,
  { allPairs = false, nearest }: { readonly allPairs?: boolean; readonly nearest?: number } = {},
): string {
  const colours = table(
    [
      ['', 'L*', 'a*', 'b*'],
      ...panels.map(({ id, lab, u95 }) => [nameOf(id), ...lab.map((v, i) => plusMinus(v, u95[i]))]),
    ],
    [1, 2, 3],
  );
  const parts = [section(`Colours (${white}; ± holds 95 times of 100)`, colours)];
  if (target.length > 0)
    parts.push(
      section('Against the target', differences(target.map((row) => [nameOf(row.panel), row] as const))),
    );
  const limit = NEAR * tolerances.accepted;
  const shown =
    nearest === undefined
      ? pairs.filter((pair) => allPairs || pair.interval95[0] < limit)
      : [...pairs].sort((p, q) => p.de00 - q.de00).slice(0, nearest);
  if (shown.length > 0)
    parts.push(
      section(
        nearest === undefined
          ? 'Panel against panel'
          : `Panel against panel, the nearest of ${pairs.length} pairs`,
        differences(shown.map((row) => [`${row.a} against ${row.b}`, row] as const)),
      ),
    );
  const hidden = pairs.length - shown.length;
  if (hidden > 0 && nearest === undefined)
    parts.push(
      `${hidden === 1 ? 'One pair of panels is' : `${hidden} pairs of panels are`} more than ${limit.toFixed(1)} apart; --all lists every pair.`,
    );
  parts.push(
    `ΔE is CIEDE2000: seen side by side from ${tolerances.seen}, accepted up to ${tolerances.accepted} ("tolerances" in the job file sets both).`,
  );
  return parts.join('\n\n');
}

function section(title: string, body: string): string {
  return `${title}\n${indented(body)}`;
}

/** A line of figures a difference, nearest first, and under it what they mean. */
function differences(rows: readonly (readonly [name: string, difference: Difference])[]): string {
  const sorted = [...rows].sort(([, p], [, q]) => p.de00 - q.de00);
  const figures = table(
    [
      ['', 'ΔE', 'between', 'dL', 'dC', 'dH'],
      ...sorted.map(
        ([
          name,
          {
            de00,
            interval95: [low, high],
            dL,
            dC,
            dH,
            u95,
          },
        ]) => [
          name,
          de00.toFixed(1),
          `${low.toFixed(1)}–${high.toFixed(1)}`,
          ...[dL, dC, dH].map((d, way) => `${signed(d)} ±${u95[way].toFixed(1)}`),
        ],
      ),
    ],
    [1, 2, 3, 4, 5],
  ).split('\n');
  return [figures[0], ...sorted.map(([, { words }], i) => `${figures[i + 1]}\n    ${words}`)].join('\n');
}
