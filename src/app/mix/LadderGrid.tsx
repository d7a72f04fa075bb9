import { useLayoutEffect, useRef } from 'react';
import { Button } from 'react-aria-components';
import type { LadderSheet } from '../../core/advise/ladder.ts';
import type { WhiteName } from '../../core/color/index.ts';
import type { Recipe } from '../../core/film/index.ts';
import { formatNumber, screenPaint } from '../ui/index.ts';
import { recipeKey } from './plan.ts';
import { coatWords } from './recipe-words.ts';

interface LadderGridProps {
  readonly sheet: LadderSheet;
  readonly white: WhiteName;
  readonly planned: Recipe;
  readonly onPress: (row: number, column: number) => void;
}

export function LadderGrid({ sheet, white, planned, onPress }: LadderGridProps) {
  const plannedKey = recipeKey(planned);
  const scroller = useRef<HTMLDivElement>(null);
  // biome-ignore lint/correctness/useExhaustiveDependencies: shown anew with another ground or another plan
  useLayoutEffect(() => {
    if (scroller.current) showPlanned(scroller.current);
  }, [plannedKey, sheet.ground]);
  return (
    <div className="mix-scroll" ref={scroller}>
      <table className="mix-grid">
        <caption>
          <span>{sheet.subtitle}</span>
        </caption>
        <thead>
          <tr>
            <td />
            {sheet.columns.map((words) => (
              <th key={words} scope="col">
                {words}
              </th>
            ))}
          </tr>
        </thead>
        <tbody>
          {sheet.cells.map((row, r) => (
            <tr key={sheet.coats[r]}>
              <th scope="row">{coatWords(sheet.coats[r])}</th>
              {row.map((cell, c) => {
                const isBest = sheet.best?.[0] === r && sheet.best[1] === c;
                const isPlanned = recipeKey(sheet.recipes[r][c]) === plannedKey;
                const marks = [
                  ...(isPlanned ? ['planned'] : []),
                  ...(isBest ? ['closest'] : []),
                  ...(cell.panels.length > 0 ? ['sprayed'] : []),
                ];
                const off = cell.de00 === undefined ? '' : formatNumber(cell.de00);
                const { css, isWithinScreen } = screenPaint(cell.lab, white);
                return (
                  <td key={sheet.columns[c]}>
                    <Button
                      className={['mix-cell', ...marks.map((m) => `mix-cell-${m}`)].join(' ')}
                      aria-label={`${sheet.columns[c]}, ${coatWords(sheet.coats[r])}: ${off ? `${off} off` : 'predicted'}${marks.length > 0 ? `, ${marks.join(', ')}` : ''}${isWithinScreen ? '' : ', stronger than this screen can show'}`}
                      onPress={() => onPress(r, c)}
                    >
                      <span className="mix-cell-colour" style={{ background: css }}>
                        {!isWithinScreen && <span className="split-beyond split-beyond-corner" />}
                      </span>
                      <span className="mix-cell-number numbers">{off}</span>
                      {marks.length > 0 && <span className="mix-cell-mark">{marks[0]}</span>}
                    </Button>
                  </td>
                );
              })}
            </tr>
          ))}
        </tbody>
      </table>
    </div>
  );
}

/** Scrolls the planned field, else the closest, to the middle of what the table shows beside its coats. The page stays. */
function showPlanned(scroller: HTMLElement): void {
  const field = scroller.querySelector('.mix-cell-planned') ?? scroller.querySelector('.mix-cell-closest');
  const coats = scroller.querySelector('tbody th');
  if (!field || !coats) return;
  const [view, at] = [scroller.getBoundingClientRect(), field.getBoundingClientRect()];
  const middle = (view.left + coats.clientWidth + view.right) / 2;
  scroller.scrollLeft += (at.left + at.right) / 2 - middle;
}
