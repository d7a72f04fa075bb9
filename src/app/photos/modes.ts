/** What the painter is doing at the photo. */
import type { QuadPx } from '../../core/photo/types.ts';

export type Mode =
  | { readonly kind: 'look' }
  /** Drawing the outline of a panel (a new one where `panel` is left out) or of the target. */
  | {
      readonly kind: 'draw';
      readonly as: 'panel' | 'target';
      readonly panel?: string | undefined;
      readonly isWrong?: boolean;
    }
  /** Placing the card's corners by hand. */
  | { readonly kind: 'card'; readonly quad: QuadPx };

export const LOOK: Mode = { kind: 'look' };
