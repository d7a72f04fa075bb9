import type { Lab } from '../color/index.ts';
import type { LikelyLight } from '../correction/likely-light.ts';
import type { Warning } from '../errors.ts';
import type { Vec3 } from '../math/linear.ts';
import type { Verdict } from './pair-verdict.ts';
import type { PanelSurface } from './surface.ts';
import type { TexturePair } from './surface-words.ts';

/** A photo of the job and its light. */
export interface PhotoInLights extends LikelyLight {
  readonly id: string;
  /** What the painter calls it. */
  readonly light: string;
  readonly view: 'face' | 'flop';
}

export interface ColourInPhoto {
  readonly photo: string;
  /** Under the card's white, from this photo alone. */
  readonly lab: Lab;
  /** As the eye meets it in this photo's light, relative to that light's white, adapted to the card's white. */
  readonly lab_as_seen: Lab;
  /** Half-widths of 95 % intervals that hold for both; each by itself beside it. */
  readonly u95: Vec3;
  readonly u95_lab: Vec3;
  readonly u95_as_seen: Vec3;
}

/** How one panel changes from one photo's light to another's. */
export interface Shift {
  readonly from: string;
  readonly to: string;
  readonly de00: number;
  readonly interval95: readonly [number, number];
  readonly words: string;
  /** What the film model's spectrum of the panel does under the two lights. */
  readonly predicted?: { readonly de00: number; readonly interval95: readonly [number, number] };
}

export interface PanelInLights {
  readonly panel: string;
  readonly by_photo: readonly ColourInPhoto[];
  readonly shifts: readonly Shift[];
  /** Photos of one panel that contradict each other. */
  readonly contradicted?: readonly [string, string];
}

export interface PairInLights {
  readonly a: string;
  readonly b: string;
  readonly by_light: readonly {
    readonly light: string;
    readonly photo: string;
    readonly de00: number;
    readonly interval95: readonly [number, number];
  }[];
  readonly verdict: Verdict;
  readonly words: string;
}

/** A panel seen square-on and turned away. */
export interface Travel {
  readonly panel: string;
  /** The direct-light colour and the side-cast colour, in the lights of their photos. */
  readonly face: { readonly photo: string; readonly lab: Lab };
  readonly flop: { readonly photo: string; readonly lab: Lab };
  readonly de00: number;
  readonly interval95: readonly [number, number];
  /** Flop minus face. */
  readonly dL: number;
  readonly dC: number;
  readonly dH: number;
  readonly effect: boolean;
  readonly words: string;
}

export interface Lights {
  readonly photos: readonly PhotoInLights[];
  readonly panels: readonly PanelInLights[];
  readonly pairs: readonly PairInLights[];
  readonly travel: readonly Travel[];
  /** Texture and evenness of each panel in each photo that was looked at for it. */
  readonly surfaces: readonly PanelSurface[];
  readonly texture_pairs: readonly TexturePair[];
  readonly cannot_tell: string;
  readonly warnings: readonly Warning[];
}
