import type { Warning } from '../errors.ts';
import { isConvexQuad, quadArea, sharedArea } from '../photo/polygon.ts';
import type { PlacedPanel } from './check.ts';

/** Two places that share more than this of the larger one are one place. */
const SAME_PLACE = 0.8;

/** What to say of panels that were given one and the same place in a photo: they would match to the digit. */
export function overlapWarnings(panels: readonly PlacedPanel[], where = ''): Warning[] {
  return panels.flatMap((one, i) =>
    panels.slice(0, i).flatMap((other): Warning[] => {
      if (one.id === other.id || !isOnePlace(one, other)) return [];
      return [
        {
          code: 'places-overlap',
          message: `${other.id} and ${one.id} lie on the same place${where}: one of them has the other's corners, or they are one panel.`,
        },
      ];
    }),
  );
}

function isOnePlace({ corners_px: a }: PlacedPanel, { corners_px: b }: PlacedPanel): boolean {
  if (!isConvexQuad(a) || !isConvexQuad(b)) return false;
  return sharedArea(a, b) > SAME_PLACE * Math.max(quadArea(a), quadArea(b));
}
