import { ToggleButton, ToggleButtonGroup } from 'react-aria-components';

export interface Chip {
  readonly id: string;
  readonly words: string;
}

interface ChipsProps {
  readonly label: string;
  readonly chips: readonly Chip[];
  readonly chosen: string | undefined;
  readonly onChoose: (id: string) => void;
  /** Shown above the strip; else the label is for screen readers only. */
  readonly isLabelShown?: boolean;
  /** A tap on the chosen chip is told as well. */
  readonly tellsAgain?: boolean;
}

/** A choice of one as a strip of large chips: for gloves. */
export function Chips({
  label,
  chips,
  chosen,
  onChoose,
  isLabelShown = false,
  tellsAgain = false,
}: ChipsProps) {
  return (
    <div className="photos-chips-field">
      {isLabelShown && (
        <span className="field-label" aria-hidden="true">
          {label}
        </span>
      )}
      <ToggleButtonGroup
        className="photos-chips"
        aria-label={label}
        selectionMode="single"
        selectedKeys={chosen === undefined ? [] : [chosen]}
        onSelectionChange={(keys) => {
          const [key] = [...keys];
          if (key !== undefined) onChoose(String(key));
          else if (tellsAgain && chosen !== undefined) onChoose(chosen);
        }}
      >
        {chips.map(({ id, words }) => (
          <ToggleButton key={id} id={id} className="photos-chip">
            {words}
          </ToggleButton>
        ))}
      </ToggleButtonGroup>
    </div>
  );
}
