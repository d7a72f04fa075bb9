import type { QuadPx } from '../../core/photo/types.ts';
import { usePhotoAddress } from '../store/index.ts';
import type { SizePx } from './quads.ts';

/** Side of the picture, CSS px. */
const SIDE_PX = 96;
/** How much of what lies around is shown, as a share of the outline's longer side. */
const AROUND = 0.3;

interface OutlinePictureProps {
  readonly photo: string;
  readonly size: SizePx;
  readonly quad: QuadPx;
}

/** What lies in an outline, small, for where the photo itself is out of sight. */
export function OutlinePicture({ photo, size: [width, height], quad }: OutlinePictureProps) {
  const address = usePhotoAddress(photo);
  const [left, right] = ends(quad.map(([x]) => x));
  const [top, bottom] = ends(quad.map(([, y]) => y));
  const scale = SIDE_PX / ((1 + 2 * AROUND) * Math.max(right - left, bottom - top, 1));
  const dx = SIDE_PX / 2 - (scale * (left + right)) / 2;
  const dy = SIDE_PX / 2 - (scale * (top + bottom)) / 2;
  const points = quad.map(([x, y]) => `${x * scale + dx},${y * scale + dy}`).join(' ');
  return (
    <div className="photos-outline-picture" style={{ width: SIDE_PX, height: SIDE_PX }} aria-hidden="true">
      {address && (
        <img
          src={address}
          alt=""
          style={{ width, height, transform: `translate(${dx}px, ${dy}px) scale(${scale})` }}
        />
      )}
      <svg viewBox={`0 0 ${SIDE_PX} ${SIDE_PX}`}>
        <title>Outline</title>
        <polygon points={points} className="photos-line-under" />
        <polygon points={points} className="photos-line" />
      </svg>
    </div>
  );
}

const ends = (values: readonly number[]): readonly [number, number] => [
  Math.min(...values),
  Math.max(...values),
];
