import { type ReactNode, useState } from 'react';
import type { PointPx, QuadPx } from '../../core/photo/types.ts';
import { usePhotoAddress } from '../store/index.ts';
import { Button } from '../ui/index.ts';
import { Loupe } from './Loupe.tsx';
import { isMovable, type Outline, Outlines, pointsOf } from './Outlines.tsx';
import { isReadable, type SizePx, tappedQuad } from './quads.ts';
import { useGestures } from './use-gestures.ts';
import { useOutlineDraft } from './use-outline-draft.ts';
import { useStage } from './use-stage.ts';
import { toStage } from './view.ts';

export interface PhotoStageProps {
  readonly photoId: string;
  readonly label: string;
  readonly size: SizePx;
  readonly onSize: (size: SizePx) => void;
  readonly card: QuadPx | undefined;
  /** Patches left out: crossed on the card. */
  readonly leftOut: readonly QuadPx[];
  readonly outlines: readonly Outline[];
  readonly selected: string | undefined;
  readonly onSelect: (id: string) => void;
  readonly onMove: (id: string, quad: QuadPx) => void;
  /** A box or four taps make an outline. */
  readonly isDrawing: boolean;
  readonly onDrawn: (quad: QuadPx | undefined) => void;
  /** Buttons beneath the photo. */
  readonly tools: ReactNode;
}

const STEP = 1.5;

/** The photo, large, with what was found on it. */
export function PhotoStage(props: PhotoStageProps) {
  const { photoId, size, outlines, selected, isDrawing, onDrawn } = props;
  const address = usePhotoAddress(photoId);
  const stage = useStage(photoId, size);
  const moving = useOutlineDraft(size, props.onMove);
  const [isUnseen, setUnseen] = useState(false);
  const [taps, setTaps] = useState<readonly PointPx[]>([]);
  const shown = outlines.map((o) => (moving.draft?.id === o.id ? { ...o, quad: moving.draft.quad } : o));
  const finishTap = (at: PointPx): void => {
    const next = [...taps, at];
    setTaps(next.length === 4 ? [] : next);
    if (next.length === 4) onDrawn(tappedQuad(next));
  };
  const { box, handlers } = useGestures({
    stage,
    photo: size,
    moving,
    isDrawing,
    quadOf: (id) => outlines.find((o) => o.id === id)?.quad,
    canMove: (id) => id === selected && outlines.some((o) => o.id === id && isMovable(o)),
    onTapOutline: props.onSelect,
    onTapPhoto: finishTap,
    onBox: (quad) => {
      setTaps([]);
      onDrawn(isReadable(quad) ? quad : undefined);
    },
  });
  if (!isDrawing && taps.length > 0) setTaps([]);
  const { frame } = stage;
  const { draft } = moving;
  return (
    <figure className="photos-figure">
      <div
        className={`photos-stage${stage.isZoomed ? ' photos-stage-zoomed' : ''}${isDrawing ? ' photos-stage-drawing' : ''}`}
        style={{ aspectRatio: `${size[0]} / ${size[1]}` }}
        ref={stage.ref}
      >
        {address && (
          <img
            src={address}
            alt={props.label}
            decoding="async"
            draggable={false}
            onError={() => setUnseen(true)}
            onLoad={({ currentTarget: { naturalWidth, naturalHeight } }) => {
              if (naturalWidth > 0) props.onSize([naturalWidth, naturalHeight]);
            }}
            style={{
              width: size[0],
              height: size[1],
              transform: `translate(${frame.left}px, ${frame.top}px) scale(${frame.scale})`,
            }}
          />
        )}
        {isUnseen && (
          <p className="photos-unseen">
            This browser cannot show this kind of file. What was read in it holds.
          </p>
        )}
        {/* biome-ignore lint/a11y/noSvgWithoutTitle: its parts are named one by one */}
        <svg {...handlers} className="photos-overlay">
          {props.card && <polygon points={pointsOf(props.card, frame)} className="photos-card" />}
          {props.leftOut.map((quad) => {
            const [a, b, c, d] = quad.map((p) => toStage(frame, p).join(' '));
            return <path key={a} d={`M${a}L${c}M${b}L${d}`} className="photos-crossed" />;
          })}
          <Outlines
            outlines={shown}
            frame={frame}
            selected={selected}
            isInert={isDrawing}
            onSelect={props.onSelect}
            onNudge={(outline, corner, d) => moving.nudge(outline.id, outline.quad, corner, d)}
            onLeave={() => draft && moving.finish()}
            onEscape={moving.cancel}
            onReach={stage.reveal}
          />
          {box && <polygon points={pointsOf(box, frame)} className="photos-drawn" />}
          {taps.map((tap) => {
            const [x, y] = toStage(frame, tap);
            return <circle key={tap.join(' ')} cx={x} cy={y} r={7} className="photos-handle-dot" />;
          })}
        </svg>
        {draft && draft.corner !== undefined && address && (
          <Loupe
            address={address}
            photo={size}
            stage={stage.size}
            frame={frame}
            at={draft.quad[draft.corner]}
            quad={draft.quad}
          />
        )}
      </div>
      <span id="photos-outline-help" className="unseen">
        Arrow keys move it by one pixel, with Shift by ten. Escape puts it back.
      </span>
      <span className="unseen" role="status">
        {draft && draft.corner !== undefined && draft.quad[draft.corner].map(Math.round).join(', ')}
      </span>
      <div className="photos-tools">
        <div className="photos-actions">{props.tools}</div>
        <div className="photos-zoom">
          <Button
            kind="quiet"
            aria-label="Zoom out"
            isDisabled={!stage.isZoomed}
            onPress={() => stage.zoomBy(1 / STEP)}
          >
            −
          </Button>
          <Button kind="quiet" isDisabled={!stage.isZoomed} onPress={stage.showWhole}>
            Whole
          </Button>
          <Button kind="quiet" aria-label="Zoom in" onPress={() => stage.zoomBy(STEP)}>
            +
          </Button>
        </div>
      </div>
    </figure>
  );
}
