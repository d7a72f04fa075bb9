export interface IntervalBarProps {
  readonly value: number;
  readonly interval: readonly [number, number];
  /** The scale's end. */
  readonly max: number;
  /** Marks across the bar: tolerances. */
  readonly marks?: readonly number[];
  /** Said in place of the drawing. */
  readonly label: string;
}

/** A value as a stroke on a bar that spans its interval, from 0 at the left. */
export function IntervalBar({ value, interval, max, marks = [], label }: IntervalBarProps) {
  const x = (v: number): number => Math.max(0, Math.min(100, (100 * v) / max));
  const [low, high] = interval;
  return (
    <svg
      className="interval-bar"
      viewBox="0 0 100 22"
      preserveAspectRatio="none"
      role="img"
      aria-label={label}
    >
      <path d="M0 11H100" stroke="var(--line)" strokeWidth="1" vectorEffect="non-scaling-stroke" />
      {marks.map((mark) => (
        <path
          key={mark}
          d={`M${x(mark)} 0V22`}
          stroke="var(--line)"
          strokeWidth="1"
          strokeDasharray="2 3"
          vectorEffect="non-scaling-stroke"
        />
      ))}
      <rect
        x={x(low)}
        y="7"
        width={Math.max(0.5, x(high) - x(low))}
        height="8"
        fill="var(--quiet)"
        opacity="0.5"
      />
      <path d={`M${x(value)} 2V20`} stroke="var(--ink)" strokeWidth="3" vectorEffect="non-scaling-stroke" />
    </svg>
  );
}
