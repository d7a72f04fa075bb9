/** Which pixels of the photo are not a panel's plain surface, by the network's maps. */
import type { Spoilt } from '../../photo/sample-spots.ts';
import { GLARE_MAP, mapOf, OBJECT_MAP, type PanelMaps } from './maps.ts';

const SURELY = 0.5;

/** Reads glare and objects off the maps of a photo of the given size. */
export function spoiltBy(
  maps: PanelMaps,
  { width_px, height_px }: { readonly width_px: number; readonly height_px: number },
): Spoilt {
  const { width, height } = maps;
  const glare = mapOf(maps, GLARE_MAP);
  const object = mapOf(maps, OBJECT_MAP);
  const [sx, sy] = [width / width_px, height / height_px];
  return (x, y) => {
    const at = Math.min(height - 1, Math.floor(y * sy)) * width + Math.min(width - 1, Math.floor(x * sx));
    if (object[at] > SURELY) return 'object';
    return glare[at] > SURELY ? 'glare' : undefined;
  };
}
