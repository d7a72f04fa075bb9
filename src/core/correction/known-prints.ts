import type { CardPatch } from '../card/types.ts';
import type { WhiteName } from '../color/index.ts';
import type { FitPatch } from './fit-model.ts';
import type { ThingRead } from './read-through.ts';

/** A patch of a fit, without what a photo shows of it. */
export type PrintedPatch = Omit<FitPatch, keyof ThingRead | 'bleed'>;

/** A sheet of which all is known that can be known before a photo is seen. */
export interface KnownPrint {
  readonly white: WhiteName;
  readonly patches: readonly CardPatch[];
  readonly printed: readonly PrintedPatch[];
}

/**
 * Sheets worked out when the program was built: the project's own in the command line, for which a process that has only begun takes
 * 50 ms (`vite.config.ts` puts them in the place of this empty list), and none elsewhere.
 */
export const KNOWN_PRINTS: readonly KnownPrint[] = [];
