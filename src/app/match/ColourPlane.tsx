/** Panels and target on two axes of colour, drawn to one scale, each with the ellipse that holds it 95 times of 100. */

import type { WhiteName } from '../../core/color/index.ts';
import { formatNumber, screenPaint } from '../ui/index.ts';
import { extentOf, type PlanePoint, ticksOf } from './plane.ts';

export interface ColourPlaneProps {
  readonly title: string;
  readonly points: readonly PlanePoint[];
  readonly white: WhiteName;
  readonly x: AxisWords;
  readonly y: AxisWords;
  readonly selected: string | undefined;
  readonly onSelect: (id: string) => void;
}

export interface AxisWords {
  readonly low: string;
  readonly high: string;
  readonly symbol: string;
}

const SIZE = 400;
const EDGE = 38;

export function ColourPlane({ title, points, white, x, y, selected, onSelect }: ColourPlaneProps) {
  const extent = extentOf(points);
  const scale = (SIZE - 2 * EDGE) / extent.width;
  const px = (v: number): number => EDGE + (v - extent.left) * scale;
  const py = (v: number): number => SIZE - EDGE - (v - extent.bottom) * scale;
  const ordered = [...points].sort((a, b) => Number(a.id === selected) - Number(b.id === selected));
  return (
    <figure className="match-plane">
      <figcaption>{title}</figcaption>
      <svg viewBox={`0 0 ${SIZE} ${SIZE}`}>
        <title>{title}</title>
        <rect
          x={EDGE}
          y={EDGE}
          width={SIZE - 2 * EDGE}
          height={SIZE - 2 * EDGE}
          className="match-plane-frame"
        />
        {ticksOf(extent.left, extent.left + extent.width).map((v) => (
          <g key={`x${v}`}>
            <path d={`M${px(v)} ${EDGE}V${SIZE - EDGE}`} className="match-plane-grid" />
            <text x={px(v)} y={SIZE - EDGE + 16} textAnchor="middle" className="match-plane-tick">
              {formatNumber(v, 0)}
            </text>
          </g>
        ))}
        {ticksOf(extent.bottom, extent.bottom + extent.width).map((v) => (
          <g key={`y${v}`}>
            <path d={`M${EDGE} ${py(v)}H${SIZE - EDGE}`} className="match-plane-grid" />
            <text x={EDGE - 5} y={py(v) + 4} textAnchor="end" className="match-plane-tick">
              {formatNumber(v, 0)}
            </text>
          </g>
        ))}
        <g className="match-axis">
          <text x={EDGE + 8} y={EDGE + 20}>
            ↑ {y.high} <tspan className="match-symbol">{y.symbol}</tspan>
          </text>
          <text x={EDGE + 8} y={SIZE - EDGE - 10}>
            ↓ {y.low}
          </text>
          <text x={EDGE} y={SIZE - 3}>
            ← {x.low}
          </text>
          <text x={SIZE - EDGE} y={SIZE - 3} textAnchor="end">
            <tspan className="match-symbol">{x.symbol}</tspan> {x.high} →
          </text>
        </g>
        {ordered.map((p) => (
          <Marker
            key={p.id}
            point={p}
            white={white}
            at={[px(p.x), py(p.y)]}
            scale={scale}
            isSelected={p.id === selected}
            onSelect={onSelect}
          />
        ))}
      </svg>
    </figure>
  );
}

interface MarkerProps {
  readonly point: PlanePoint;
  readonly white: WhiteName;
  readonly at: readonly [number, number];
  readonly scale: number;
  readonly isSelected: boolean;
  readonly onSelect: (id: string) => void;
}

function Marker({ point, white, at: [cx, cy], scale, isSelected, onSelect }: MarkerProps) {
  const { major, minor, turn_deg } = point.ellipse;
  const ellipse = (
    <ellipse
      rx={major * scale}
      ry={minor * scale}
      transform={`translate(${cx} ${cy}) rotate(${-turn_deg})`}
      className={isSelected ? 'match-ellipse match-ellipse-selected' : 'match-ellipse'}
    />
  );
  if (point.mark === undefined)
    return (
      <g>
        <title>{point.name}</title>
        {ellipse}
        <path
          d={`M${cx - 15} ${cy}h30M${cx} ${cy - 15}v30M${cx - 8} ${cy - 8}h16v16h-16z`}
          className="match-target-mark"
        />
      </g>
    );
  const choose = (): void => onSelect(point.id);
  return (
    // biome-ignore lint/a11y/useSemanticElements: a mark of a drawing; the list holds the same buttons
    <g
      role="button"
      tabIndex={0}
      aria-label={point.name}
      aria-pressed={isSelected}
      className="match-marker"
      onClick={choose}
      onKeyDown={(event) => {
        if (event.key !== 'Enter' && event.key !== ' ') return;
        event.preventDefault();
        choose();
      }}
    >
      <circle cx={cx} cy={cy} r={24} fill="transparent" />
      {ellipse}
      <circle
        cx={cx}
        cy={cy}
        r={isSelected ? 12 : 8}
        style={{ fill: screenPaint(point.lab, white).css }}
        className={isSelected ? 'match-dot match-dot-selected' : 'match-dot'}
      />
      <text x={cx + (isSelected ? 16 : 12)} y={cy - 8} className="match-mark">
        {point.mark}
      </text>
    </g>
  );
}
