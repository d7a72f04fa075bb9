/** Face and flop of a job's panels. */
import type { Warning } from '../errors.ts';
import { memberOf, photosOf, type Seen } from './seen.ts';
import { looksLikeAnother, travelOf } from './travel.ts';
import type { Travel } from './types.ts';

/** Face and flop of each panel that has both: under the light of the same name where there is one, else the first of each. */
export function travels(seen: Seen): { readonly found: Travel[]; readonly warnings: Warning[] } {
  const { asSeen, things, photos, tolerances } = seen;
  const found: Travel[] = [];
  const warnings: Warning[] = [];
  things.forEach((thing, flop) => {
    if (thing.view !== 'flop') return;
    const face = things.findIndex((t) => t.id === thing.id && t.view === 'face');
    if (face < 0) {
      warnings.push({
        code: 'flop-without-face',
        message: `${thing.id} was photographed turned away but not square-on: without its face there is no travel to tell. Is the flop photo of another panel?`,
      });
      return;
    }
    const [flopPhoto] = photosOf(seen, flop);
    const faces = photosOf(seen, face);
    const sameLight = faces.find((p) => photos[p].light === photos[flopPhoto].light);
    const facePhoto = sameLight ?? faces[0];
    if (sameLight === undefined)
      warnings.push({
        code: 'travel-across-lights',
        message: `${thing.id}: face and flop were photographed in different lights; part of the travel is the light's.`,
      });
    const travel = travelOf(
      asSeen.ensemble,
      {
        panel: thing.id,
        face: { photo: photos[facePhoto].id, member: memberOf(asSeen, face, facePhoto) },
        flop: { photo: photos[flopPhoto].id, member: memberOf(asSeen, flop, flopPhoto) },
      },
      tolerances,
    );
    found.push(travel);
    if (looksLikeAnother(travel.face.lab, travel.flop.lab))
      warnings.push({
        code: 'flop-looks-other',
        message: `${thing.id} has quite another hue in flop photo ${travel.flop.photo} than in ${travel.face.photo}: is it the same panel? A colour-travelling pearl does that, a candy does not.`,
      });
  });
  return { found, warnings };
}
