import type { Tolerances } from '../../core/compare/tolerances.ts';
import { NumberField } from './fields.tsx';

export interface ToleranceInputsProps {
  readonly tolerances: Tolerances;
  readonly onCommit: (part: Partial<Tolerances>) => void;
}

/** From which difference on one sees two panels apart, and up to which one accepts it. */
export function ToleranceInputs({ tolerances, onCommit }: ToleranceInputsProps) {
  const field = (part: keyof Tolerances, label: string) => (
    <NumberField
      label={label}
      value={tolerances[part]}
      min={0.1}
      max={20}
      step={0.1}
      unit="ΔE00"
      digits={1}
      onCommit={(value) => {
        if (value !== undefined) onCommit({ [part]: value });
      }}
    />
  );
  return (
    <>
      {field('seen', 'Just seen side by side')}
      {field('accepted', 'Still accepted')}
    </>
  );
}
