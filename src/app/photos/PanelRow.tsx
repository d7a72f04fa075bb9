import type { WhiteName } from '../../core/color/index.ts';
import type { MeasuredPanel } from '../../core/measure/index.ts';
import { formatNumber, Swatch } from '../ui/index.ts';
import { colourWords, evennessWords, glareWords } from './words.ts';

export interface PanelRowProps {
  readonly id: string;
  readonly mark: string;
  readonly name: string;
  readonly recipe: string;
  readonly isLabelled: boolean;
  readonly measured: MeasuredPanel | undefined;
  /** What is said in place of figures. */
  readonly unread: string;
  readonly white: WhiteName;
  readonly isSelected: boolean;
  readonly onSelect: () => void;
  /** What can be done with the selected one. */
  readonly children: React.ReactNode;
}

/** A panel in the list: its colour, what it is called, what was sprayed; the figures when it is selected. */
export function PanelRow({ id, mark, name, recipe, isLabelled, measured, ...rest }: PanelRowProps) {
  const { unread, white, isSelected, onSelect, children } = rest;
  return (
    <li className={isSelected ? 'photos-row photos-row-selected' : 'photos-row'}>
      <button
        type="button"
        className="photos-row-button"
        aria-pressed={isSelected}
        onClick={onSelect}
        data-panel={id}
      >
        <span className="photos-row-mark" aria-hidden="true">
          {mark}
        </span>
        {measured ? (
          <Swatch lab={measured.lab} white={white} label={colourWords(measured.lab)} />
        ) : (
          <span className="photos-row-blank" />
        )}
        <span className="photos-row-words">
          <span className="photos-row-name">{name}</span>
          <span className={isLabelled ? 'photos-row-recipe' : 'photos-row-recipe photos-row-wanting'}>
            {recipe}
          </span>
        </span>
      </button>
      {isSelected && (
        <div className="photos-row-more">
          {measured ? <PanelFigures measured={measured} /> : <p>{unread}</p>}
          <div className="photos-actions">{children}</div>
        </div>
      )}
    </li>
  );
}

function PanelFigures({ measured }: { readonly measured: MeasuredPanel }) {
  const { lab, u95, evenness_de00, glare_fraction } = measured;
  return (
    <dl className="photos-facts">
      <dt>Colour</dt>
      <dd>
        {colourWords(lab)}
        <span className="numbers">
          {(['L*', 'a*', 'b*'] as const)
            .map((axis, i) => `${axis} ${formatNumber(lab[i])} ± ${formatNumber(u95[i])}`)
            .join(', ')}
        </span>
      </dd>
      <dt>Surface</dt>
      <dd>
        {evennessWords(evenness_de00)}, {glareWords(glare_fraction)}
        <span className="numbers">
          {evenness_de00 < 0.1 ? 'within 0.1' : formatNumber(evenness_de00)} ΔE00, glare{' '}
          {formatNumber(100 * glare_fraction, 0)} %
        </span>
      </dd>
    </dl>
  );
}
