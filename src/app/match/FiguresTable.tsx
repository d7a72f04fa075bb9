import type { ComparedPanel } from '../../core/compare/index.ts';
import { Disclosure, formatNumber } from '../ui/index.ts';
import type { Standing } from './against.ts';
import { directionsOf, signed } from './sentences.ts';

interface FiguresTableProps {
  readonly standings: readonly Standing[];
  readonly panels: readonly ComparedPanel[];
}

/** Every figure behind the swatches and plots. */
export function FiguresTable({ standings, panels }: FiguresTableProps) {
  const measured = new Map(panels.map((p) => [p.id, p]));
  const target = measured.get('target');
  return (
    <Disclosure title="All figures">
      <div className="match-scroll">
        <table className="match-table numbers">
          <thead>
            <tr>
              <th scope="col">Panel</th>
              <th scope="col">L* (±)</th>
              <th scope="col">a* (±)</th>
              <th scope="col">b* (±)</th>
              <th scope="col">ΔE00 (95 %)</th>
              <th scope="col">ΔL* (±)</th>
              <th scope="col">ΔC* (±)</th>
              <th scope="col">ΔH* (±)</th>
            </tr>
          </thead>
          <tbody>
            {target && (
              <tr>
                <th scope="row">Target</th>
                <LabCells panel={target} />
                <td colSpan={4}>–</td>
              </tr>
            )}
            {standings.map(({ panel, name, difference }) => (
              <tr key={panel}>
                <th scope="row">{name}</th>
                <LabCells panel={measured.get(panel)} />
                <td>
                  {formatNumber(difference.de00)} ({formatNumber(difference.interval95[0])}–
                  {formatNumber(difference.interval95[1])})
                </td>
                {directionsOf(difference).map(({ symbol, value, u95 }) => (
                  <td key={symbol}>
                    {signed(value)} ({formatNumber(u95)})
                  </td>
                ))}
              </tr>
            ))}
          </tbody>
        </table>
      </div>
    </Disclosure>
  );
}

function LabCells({ panel }: { readonly panel: ComparedPanel | undefined }) {
  return [0, 1, 2].map((axis) => (
    <td key={axis}>{panel ? `${formatNumber(panel.lab[axis])} (${formatNumber(panel.u95[axis])})` : '–'}</td>
  ));
}
