/** What to mind when panels are told from light to light. */
import type { Warning } from '../errors.ts';
import type { ReadPhoto } from '../measure/index.ts';
import { FEWEST_PX_PER_MM } from '../panel/texture/index.ts';
import { lightName } from './light-name.ts';
import { type Photo, photosOf, type Seen } from './seen.ts';
import type { PanelSurface } from './surface.ts';

export function lightWarnings(seen: Seen, read: ReadonlyMap<string, ReadPhoto>): Warning[] {
  const { things, photos, asSeen } = seen;
  const faces = photos.filter((p) => p.view === 'face');
  const warnings: Warning[] = [];
  if (faces.length < 2 || new Set(faces.map((p) => p.light)).size < 2)
    warnings.push({
      code: 'one-light',
      message:
        faces.length < 2
          ? 'These panels were photographed in one light only: nothing can be said of another. Take the same panels and card again in the sun, in the shade or under the shop light.'
          : 'All these photos name the same kind of light: what shifts is told, but they say little of another light.',
    });
  // of a light that nobody named nothing is missed
  const named = [...new Set(faces.map((p) => p.light))].filter((light) => light !== 'other');
  things.forEach((thing, i) => {
    if (thing.view !== 'face') return;
    // of a photo it is in and cannot be read there, its place says why
    const refused = faces.filter((p) =>
      read.get(p.id)?.places.some((at) => at.id === thing.id && at.refused),
    );
    const met = [...photosOf(seen, i).map((p) => photos[p]), ...refused].map((p) => p.light);
    const missing = named.filter((light) => !met.includes(light));
    if (missing.length > 0)
      warnings.push({
        code: 'panel-missing-in-photo',
        message: `${thing.id} is in no photo taken ${missing.map(lightName).join(' or ')}: nothing is said of it there.`,
      });
  });
  for (const { thing, between } of asSeen.contradicted)
    warnings.push({
      code: 'photos-disagree',
      message: `${things[thing].id} looks different in photos ${between.map((p) => photos[p].id).join(' and ')} by more than the lights explain: a metallic panel tilted to the light does that. Its shift is told from each photo alone.`,
    });
  return warnings;
}

export function placeWarnings(read: ReadonlyMap<string, ReadPhoto>, photos: readonly Photo[]): Warning[] {
  return photos.flatMap((p) =>
    read
      .get(p.id)!
      .places.flatMap(({ id, refused }) =>
        refused ? [{ code: refused.code, message: `${id} in photo ${p.id}: ${refused.message}` }] : [],
      ),
  );
}

/** One for each photo that no texture can be told in. */
export function surfaceWarnings(surfaces: readonly PanelSurface[]): Warning[] {
  const photos = [...new Set(surfaces.map((s) => s.photo))];
  return photos.flatMap((photo) =>
    surfaces.some((s) => s.photo === photo && s.texture)
      ? []
      : [
          {
            code: 'texture-too-fine',
            message: `Flakes are too fine for photo ${photo}: sparkle and graininess need ${FEWEST_PX_PER_MM} pixels a millimetre and 30 mm of panel. Come closer, or use the camera's full size.`,
          },
        ],
  );
}
