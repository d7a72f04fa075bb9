import type { EvennessMap } from '../../core/panel/texture/index.ts';
import { formatNumber } from '../ui/index.ts';

interface EvennessPictureProps {
  readonly map: EvennessMap;
  /** Said in place of the picture. */
  readonly label: string;
}

/** ΔE00 at which a place is drawn at full strength: twice what is seen side by side. */
export const FULL_DE00 = 1.6;
const STEPS = [0, 0.4, 0.8, 1.2, FULL_DE00] as const;
/** Two greys about the middle one, as light or as dark as the place is against the panel's mean. */
const MIDDLE = 128;
const REACH = 112;

function greyOf(de00: number, isLighter: boolean): string {
  const t = Math.min(1, de00 / FULL_DE00);
  const v = Math.round(MIDDLE + (isLighter ? 1 : -1) * REACH * t);
  return `rgb(${v} ${v} ${v})`;
}

/** A map of the panel: lighter places lighter, darker ones darker, the farther from the mean the stronger; hidden ones crossed. */
export function EvennessPicture({ map, label }: EvennessPictureProps) {
  const { columns, rows, size_mm, de00, lighter } = map;
  const [width, height] = [size_mm[0], size_mm[1]];
  const [w, h] = [width / columns, height / rows];
  const furthest = de00.reduce<number>((best, v, i) => ((v ?? 0) > (de00[best] ?? 0) ? i : best), 0);
  return (
    <svg className="lights-map" viewBox={`0 0 ${width} ${height}`} role="img" aria-label={label}>
      {de00.map((v, i) => {
        const at = { x: (i % columns) * w, y: Math.floor(i / columns) * h };
        return v === undefined ? (
          <path
            // biome-ignore lint/suspicious/noArrayIndexKey: a place of the map is its index
            key={i}
            className="lights-map-hidden"
            d={`M${at.x} ${at.y}l${w} ${h}m0 ${-h}l${-w} ${h}`}
          />
        ) : (
          <rect
            // biome-ignore lint/suspicious/noArrayIndexKey: a place of the map is its index
            key={i}
            {...at}
            width={w + 0.02}
            height={h + 0.02}
            fill={greyOf(v, (lighter[i] ?? 0) >= 0)}
          />
        );
      })}
      <FarthestPlace map={map} index={furthest} />
    </svg>
  );
}

/** The farthest place with its figure, so that the map is read by number as well. */
function FarthestPlace({ map, index }: { readonly map: EvennessMap; readonly index: number }) {
  const { columns, rows, size_mm, de00 } = map;
  const x = (((index % columns) + 0.5) * size_mm[0]) / columns;
  const y = ((Math.floor(index / columns) + 0.5) * size_mm[1]) / rows;
  const isRight = x > size_mm[0] / 2;
  return (
    <>
      <circle className="lights-map-ring" cx={x} cy={y} r={(1.6 * size_mm[0]) / columns} />
      <text
        className="lights-map-figure"
        x={x + (isRight ? -1 : 1) * size_mm[0] * 0.09}
        y={Math.min(0.92 * size_mm[1], Math.max(0.08 * size_mm[1], y))}
        textAnchor={isRight ? 'end' : 'start'}
        dominantBaseline="central"
        fontSize={size_mm[0] * 0.13}
      >
        {formatNumber(de00[index] ?? 0)}
      </text>
    </>
  );
}

/** What the greys mean, in numbers. */
export function EvennessScale() {
  const tones = [...STEPS].reverse().map((v) => [v, false] as const);
  const all = [...tones, ...STEPS.slice(1).map((v) => [v, true] as const)];
  return (
    <div className="lights-scale">
      <span>darker than the panel’s mean</span>
      <ol>
        {all.map(([v, isLighter]) => (
          <li key={`${v} ${isLighter}`}>
            <span className="lights-scale-tone" style={{ background: greyOf(v, isLighter) }} />
            <span className="numbers">{v === FULL_DE00 ? `${formatNumber(v)}+` : formatNumber(v)}</span>
          </li>
        ))}
      </ol>
      <span>lighter, ΔE00; the ring marks the farthest place</span>
    </div>
  );
}
