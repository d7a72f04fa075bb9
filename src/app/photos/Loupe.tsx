import type { PointPx, QuadPx } from '../../core/photo/types.ts';
import type { SizePx } from './quads.ts';
import { type Frame, LOUPE_PX, loupePlace, loupeScale, toStage } from './view.ts';

interface LoupeProps {
  readonly address: string;
  readonly photo: SizePx;
  readonly stage: SizePx;
  readonly frame: Frame;
  /** The corner in its middle, pixels of the photo. */
  readonly at: PointPx;
  readonly quad: QuadPx;
}

/** The photo around a corner, four times as large as on the stage, where the finger does not hide it. */
export function Loupe({ address, photo, stage, frame, at, quad }: LoupeProps) {
  const scale = loupeScale(frame);
  const [left, top] = loupePlace(toStage(frame, at), stage);
  const half = LOUPE_PX / 2;
  const [x, y] = [half - at[0] * scale, half - at[1] * scale];
  const outline = quad.map(([px, py]) => `${px * scale + x},${py * scale + y}`).join(' ');
  return (
    <div className="photos-loupe" style={{ left, top, width: LOUPE_PX, height: LOUPE_PX }} aria-hidden="true">
      <img
        src={address}
        alt=""
        style={{
          width: photo[0],
          height: photo[1],
          transform: `translate(${x}px, ${y}px) scale(${scale})`,
        }}
      />
      <svg viewBox={`0 0 ${LOUPE_PX} ${LOUPE_PX}`}>
        <title>Loupe</title>
        <polygon points={outline} className="photos-line-under" />
        <polygon points={outline} className="photos-line" />
        <path
          d={`M${half} ${half - 14}v10M${half} ${half + 4}v10M${half - 14} ${half}h10M${half + 4} ${half}h10`}
          className="photos-cross-under"
        />
        <path
          d={`M${half} ${half - 14}v10M${half} ${half + 4}v10M${half - 14} ${half}h10M${half + 4} ${half}h10`}
          className="photos-cross"
        />
      </svg>
    </div>
  );
}
