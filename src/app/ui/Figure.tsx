import { formatInterval, formatNumber } from './format.ts';

export interface FigureProps {
  /** Words first. */
  readonly label: string;
  readonly value: number | undefined;
  readonly unit?: string;
  readonly interval?: readonly [number, number] | undefined;
  readonly digits?: number;
}

/** A number that matters: its name, large the number, small the interval that holds it 95 times of 100. */
export function Figure({ label, value, unit, interval, digits = 1 }: FigureProps) {
  return (
    <div className="figure">
      <span className="figure-label">{label}</span>
      <span className="figure-value">
        {value === undefined ? '–' : formatNumber(value, digits)}
        {unit && <span className="figure-unit">{unit}</span>}
      </span>
      {interval && <span className="figure-interval">{formatInterval(interval, digits)}</span>}
    </div>
  );
}
