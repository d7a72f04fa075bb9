/** Outlines over a photo: the card, the panels with their marks, and the corners of the one that is selected. */
import type { FocusEvent, KeyboardEvent } from 'react';
import { quadCentre } from '../../core/photo/polygon.ts';
import type { PointPx, QuadPx } from '../../core/photo/types.ts';
import { arrowStep } from './use-outline-draft.ts';
import { type Frame, toStage } from './view.ts';

/** Something outlined on the photo. */
export interface Outline {
  readonly id: string;
  readonly name: string;
  /** On the photo and in the list. Of one that is only found, its number among those. */
  readonly mark: string;
  readonly quad: QuadPx;
  /** `found` is only offered yet; `left-out` was found and is not wanted. */
  readonly kind: 'panel' | 'target' | 'card' | 'found' | 'left-out';
}

interface OutlinesProps {
  readonly outlines: readonly Outline[];
  readonly frame: Frame;
  readonly selected: string | undefined;
  readonly isInert: boolean;
  readonly onSelect: (id: string) => void;
  readonly onNudge: (outline: Outline, corner: number | undefined, d: PointPx) => void;
  readonly onLeave: () => void;
  readonly onEscape: () => void;
  /** The keyboard has gone to something at this pixel of the photo. */
  readonly onReach: (at: PointPx) => void;
}

const isByKeyboard = ({ currentTarget }: FocusEvent): boolean => currentTarget.matches(':focus-visible');

export const isMovable = ({ kind }: Outline): boolean => kind !== 'found' && kind !== 'left-out';

const CORNERS = ['Top left', 'Top right', 'Bottom right', 'Bottom left'] as const;
/** The touch target lies a little outside its corner, so that the finger leaves the panel in sight. */
const OUTWARD_PX = 9;

export const pointsOf = (quad: QuadPx, frame: Frame): string =>
  quad
    .map((p) =>
      toStage(frame, p)
        .map((v) => v.toFixed(1))
        .join(','),
    )
    .join(' ');

export function Outlines(props: OutlinesProps) {
  const { outlines, selected, isInert } = props;
  const chosen = isInert ? undefined : outlines.find((o) => o.id === selected);
  const canMove = chosen && isMovable(chosen);
  return (
    <>
      {outlines.map((outline) => (
        <OutlineShape key={outline.id} outline={outline} isSelected={outline.id === selected} {...props} />
      ))}
      {canMove &&
        CORNERS.map((name, corner) => <Handle key={name} {...props} outline={chosen} corner={corner} />)}
    </>
  );
}

function keyHandler(
  { onNudge, onEscape, onSelect }: OutlinesProps,
  outline: Outline,
  corner: number | undefined,
  canMove: boolean,
) {
  return (event: KeyboardEvent): void => {
    const step = arrowStep(event.key, event.shiftKey);
    if (step && canMove) {
      event.preventDefault();
      onNudge(outline, corner, step);
    } else if (event.key === 'Escape') onEscape();
    else if ((event.key === 'Enter' || event.key === ' ') && corner === undefined) {
      event.preventDefault();
      onSelect(outline.id);
    }
  };
}

interface ShapeProps extends OutlinesProps {
  readonly outline: Outline;
  readonly isSelected: boolean;
}

function OutlineShape({ outline, isSelected, ...props }: ShapeProps) {
  const { frame, isInert, onSelect, onLeave } = props;
  const points = pointsOf(outline.quad, frame);
  const [x, y] = markPlace(outline.quad, frame);
  const look = `photos-outline photos-outline-${outline.kind}${isSelected ? ' photos-outline-selected' : ''}`;
  const isOffered = !isMovable(outline);
  return (
    // biome-ignore lint/a11y/useSemanticElements: a shape of a drawing; the list holds the same buttons
    <g
      role="button"
      tabIndex={isInert ? -1 : 0}
      aria-label={isOffered ? `Found outline ${outline.mark}: ${outline.name}` : outline.name}
      aria-pressed={isSelected}
      {...(isSelected && !isOffered && { 'aria-describedby': 'photos-outline-help' })}
      className={look}
      data-outline={outline.id}
      onClick={(event) => {
        if (event.detail === 0) onSelect(outline.id);
      }}
      onKeyDown={keyHandler(props, outline, undefined, isSelected && !isOffered)}
      onFocus={(event) => isByKeyboard(event) && props.onReach(quadCentre(outline.quad))}
      onBlur={onLeave}
    >
      <polygon points={points} className="photos-line-under" />
      <polygon points={points} className="photos-line" />
      {outline.mark && (
        <g transform={`translate(${x.toFixed(1)} ${y.toFixed(1)})`} className="photos-mark">
          <rect
            x={-markWidth(outline.mark) / 2}
            y={-13}
            width={markWidth(outline.mark)}
            height={26}
            rx={isOffered ? 13 : 3}
          />
          <text y={5} textAnchor="middle">
            {outline.mark}
          </text>
        </g>
      )}
    </g>
  );
}

/** The mark sits on the upper edge, so that the paint stays in sight. */
function markPlace(quad: QuadPx, frame: Frame): PointPx {
  const edges = [0, 1, 2, 3].map((i): PointPx => {
    const [a, b] = [quad[i], quad[(i + 1) % 4]];
    return toStage(frame, [(a[0] + b[0]) / 2, (a[1] + b[1]) / 2]);
  });
  const [x, y] = edges.reduce((top, edge) => (edge[1] < top[1] ? edge : top));
  return [x, Math.max(15, y)];
}

const markWidth = (mark: string): number => 14 + 9 * mark.length;

interface HandleProps extends OutlinesProps {
  readonly outline: Outline;
  readonly corner: number;
}

function Handle({ outline, corner, ...props }: HandleProps) {
  const { frame, onLeave } = props;
  const [x, y] = toStage(frame, outline.quad[corner]);
  const [cx, cy] = toStage(frame, quadCentre(outline.quad));
  const reach = Math.max(1, Math.hypot(x - cx, y - cy));
  const [ox, oy] = [((x - cx) / reach) * OUTWARD_PX, ((y - cy) / reach) * OUTWARD_PX];
  const [px, py] = outline.quad[corner].map(Math.round);
  return (
    // biome-ignore lint/a11y/useSemanticElements: a corner of a drawing, moved by arrow keys
    <g
      role="button"
      tabIndex={0}
      aria-label={`${CORNERS[corner]} corner of ${outline.name}, at ${px}, ${py}`}
      aria-describedby="photos-outline-help"
      className="photos-handle"
      data-outline={outline.id}
      data-corner={corner}
      onKeyDown={keyHandler(props, outline, corner, true)}
      onFocus={(event) => isByKeyboard(event) && props.onReach(outline.quad[corner])}
      onBlur={onLeave}
    >
      <circle cx={x + ox} cy={y + oy} r={24} className="photos-handle-touch" />
      <circle cx={x} cy={y} r={12} className="photos-handle-focus" />
      <circle cx={x} cy={y} r={6} className="photos-handle-dot" />
    </g>
  );
}
