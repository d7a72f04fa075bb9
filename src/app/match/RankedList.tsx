import { ListBox, ListBoxItem } from 'react-aria-components';
import type { Lab, WhiteName } from '../../core/color/index.ts';
import type { Tolerances } from '../../core/compare/index.ts';
import { formatInterval, formatNumber, IntervalBar, SplitSwatch } from '../ui/index.ts';
import { type Standing, scaleEnd } from './against.ts';

export interface RankedListProps {
  readonly standings: readonly Standing[];
  readonly target: { readonly name: string; readonly lab: Lab };
  readonly white: WhiteName;
  readonly tolerances: Tolerances;
  readonly selected: string | undefined;
  readonly onSelect: (panel: string) => void;
}

/** Panels, closest first. The arrow keys go through them. */
export function RankedList({ standings, target, white, tolerances, selected, onSelect }: RankedListProps) {
  const max = scaleEnd(standings, tolerances.accepted);
  return (
    <ListBox
      aria-label={`Panels, closest to ${target.name} first`}
      className="match-list"
      items={standings.map((s) => ({ ...s, id: s.panel }))}
      selectionMode="single"
      selectionBehavior="replace"
      disallowEmptySelection
      selectedKeys={selected === undefined ? [] : [selected]}
      onSelectionChange={(keys) => {
        const [key] = keys === 'all' ? [] : [...keys];
        if (key !== undefined) onSelect(String(key));
      }}
    >
      {({ panel, mark, name, lab, isClosest, difference: { de00, interval95, direction, verdict } }) => (
        <ListBoxItem
          id={panel}
          className="match-row"
          textValue={`${isClosest ? 'Closest: ' : ''}${name}: ${formatNumber(de00)} off, ${formatInterval(interval95)}; ${direction ? `${direction}; ` : ''}${verdict}`}
        >
          <span className="match-row-mark" aria-hidden="true">
            {mark}
          </span>
          <SplitSwatch white={white} left={{ name, lab }} right={target} />
          <span className="match-words">
            {isClosest && <span className="match-closest">Closest</span>}
            <span className="match-name">{name}</span>
            <span className="match-direction">{direction || verdict}</span>
          </span>
          <span className="match-figure">
            <span className="match-number">{formatNumber(de00)}</span>
            <span className="match-interval">
              {formatNumber(interval95[0])}–{formatNumber(interval95[1])}
            </span>
          </span>
          <span className="match-bar">
            <IntervalBar
              value={de00}
              interval={interval95}
              max={max}
              marks={[tolerances.seen, tolerances.accepted]}
              label={formatInterval(interval95)}
            />
          </span>
        </ListBoxItem>
      )}
    </ListBox>
  );
}
