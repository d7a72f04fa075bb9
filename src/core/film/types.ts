import type { Lab, WhiteName } from '../color/index.ts';
import type { Warning } from '../errors.ts';
import type { Mat3 } from '../math/linear.ts';

/** What is sprayed: a mix, so many coats of it, over a ground. A bare ground has 0 coats and no parts. */
export interface Recipe {
  readonly ground: string;
  /** Parts of each tint by tint id; only their ratio matters. */
  readonly parts: Readonly<Record<string, number>>;
  /** Parts of carrier to one part of the tint mix. */
  readonly carrier: number;
  /** Reducer, % of the mixed paint. */
  readonly reducer_pct: number;
  readonly coats: number;
  /** Cleared (true) or bare candy (false). */
  readonly clear: boolean;
}

/**
 * A measured colour. Errors are covariances in the local ΔE2000 frame of `lab` (see `differenceFrame`), so that a
 * standard uncertainty u as root-mean-square ΔE2000 is u²/3 on the diagonal.
 */
export interface FilmReading {
  readonly lab: Lab;
  /** Covariance of the error this reading has for itself. */
  readonly own: Mat3;
  /** Readings with the same group (a photo) share one more error. */
  readonly group?: string;
}

export interface FilmPanel {
  readonly id: string;
  readonly recipe: Recipe;
  readonly reading: FilmReading;
}

/** All the film model needs to know of a job. */
export interface FilmData {
  readonly white: WhiteName;
  readonly tints: readonly string[];
  readonly grounds: readonly string[];
  readonly panels: readonly FilmPanel[];
  readonly target?: FilmReading;
  /** Covariance of the error shared inside each group. */
  readonly groups: ReadonlyMap<string, Mat3>;
  readonly warnings: readonly Warning[];
}

/** How one panel stands to the fitted model. */
export interface PanelResidual {
  readonly id: string;
  readonly lab: Lab;
  /** What its recipe gives from an even hand. */
  readonly predicted: Lab;
  /** ΔE2000 between the two. */
  readonly de00: number;
  /** ΔE2000 from what the other panels alone say of this recipe; only where the panel was questioned. */
  readonly de00_alone?: number;
  /** How much heavier (above 1) or lighter the film came out than the recipe says. */
  readonly film: number;
  /** True when the panel disagrees with the rest by more than hand and measuring explain. */
  readonly suspect: boolean;
  /** What a suspect looks like instead, such as `2 coats`, where one slip of the pen stands out. */
  readonly looks_like?: string;
}
