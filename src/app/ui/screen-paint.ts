/** A colour as CSS for this screen: Display P3 where the screen has it, else sRGB. */
import { OUTPUT_SPACE, shownColour } from '../../core/board/crop/output-space.ts';
import { encodeSrgb } from '../../core/board/screen-colour.ts';
import type { Lab, WhiteName } from '../../core/color/index.ts';

export interface ScreenPaint {
  readonly css: string;
  /** False when a paler colour of the same lightness and hue stands in. */
  readonly isWithinScreen: boolean;
}

let isWide: boolean | undefined;

function hasWideGamut(): boolean {
  isWide ??= matchMedia('(color-gamut: p3)').matches && CSS.supports('color', 'color(display-p3 1 0 0)');
  return isWide;
}

export function screenPaint(lab: Lab, white: WhiteName): ScreenPaint {
  const wide = hasWideGamut();
  const { rgb, isWithin } = shownColour(lab, white, OUTPUT_SPACE[wide ? 'Display P3' : 'sRGB']);
  const parts = rgb.map((v) => encodeSrgb(v).toFixed(4)).join(' ');
  return { css: `color(${wide ? 'display-p3' : 'srgb'} ${parts})`, isWithinScreen: isWithin };
}
