/** A sample board as plain data: what is shown of each panel, and what it is made from. */
import type { Job } from '../../../shared/schemas/job.ts';
import type { Ladder } from '../advise/ladder.ts';
import type { Lab, WhiteName } from '../color/index.ts';
import type { Comparison } from '../compare/index.ts';
import type { Verdict } from '../lights/index.ts';
import type { Vec3 } from '../math/linear.ts';
import type { OutputSpaceName } from './crop/output-space.ts';
import type { BoardRecipe } from './recipe.ts';
import type { ScreenColour } from './screen-colour.ts';

/** A picture as a file, with its colour profile inside. */
export interface BoardPicture {
  readonly mime: 'image/jpeg' | 'image/png';
  readonly bytes: Uint8Array;
  readonly width_px: number;
  readonly height_px: number;
  readonly space: OutputSpaceName;
  /** False when the file cannot show the measured colour and a paler one is shown. */
  readonly isWithinSpace: boolean;
}

/** A colour with its name and, where a photo shows it, its picture. */
export interface BoardColour {
  readonly name: string;
  readonly lab: Lab;
  /** Half-widths of the 95 % intervals. */
  readonly u95: Vec3;
  readonly swatch: ScreenColour;
  readonly picture?: BoardPicture;
}

export interface BoardDifference {
  readonly de00: number;
  readonly interval95: readonly [number, number];
  /** "ΔE 3.6 from …, between 2.3 and 4.3." */
  readonly figure: string;
  /** "Lighter, duller; you would see this side by side." */
  readonly words: string;
}

/** How a panel's colour moves from one light to another. */
export interface BoardLightShift {
  readonly de00: number;
  readonly interval95: readonly [number, number];
  readonly words: string;
}

/** A panel from light to light. */
export interface BoardLights {
  /** Beside the target, where both were photographed in two lights. */
  readonly pair: { readonly verdict: Verdict; readonly words: string } | undefined;
  /** By itself. */
  readonly shifts: readonly BoardLightShift[];
}

export interface BoardPanel extends BoardColour {
  /** Its id as shown. */
  readonly id: string;
  /** Its id in the job. */
  readonly record: string;
  /** Undefined for a bare ground. */
  readonly recipe: BoardRecipe | undefined;
  readonly coats: number | undefined;
  readonly ground:
    | { readonly id: string; readonly name: string; readonly colour: string | undefined }
    | undefined;
  readonly clear: boolean | undefined;
  /** "Three coats on pale gold, cleared." */
  readonly build: string;
  readonly difference: BoardDifference | undefined;
  /** In sentences: beside the target, then the panel by itself. */
  readonly lights: readonly string[];
  /** What the picture or the swatch cannot show, in words. */
  readonly remarks: readonly string[];
  /** "Read from photos sun-1 and shop-1." */
  readonly origin: string;
  readonly notes: string | undefined;
}

export interface BoardDocument {
  readonly title: string;
  readonly maker: string | undefined;
  /** As it is to be shown. */
  readonly date: string | undefined;
  readonly white: WhiteName;
  readonly target: BoardColour | undefined;
  readonly panels: readonly BoardPanel[];
  readonly ladder: Ladder | undefined;
  readonly notes: string | undefined;
  readonly cautions: readonly string[];
  /** Names the job in the boards' codes. */
  readonly job: string;
}

export interface BoardRequest {
  readonly job: Job;
  /** Ids of the panels to show, in this order; all of the job when left out. */
  readonly panels?: readonly string[] | undefined;
  readonly comparison: Comparison;
  /** Photos that each colour was read from. */
  readonly joined_from?: ReadonlyMap<string, readonly string[]> | undefined;
  /** Pictures by panel id, and that of the target under `target`. */
  readonly pictures?: ReadonlyMap<string, BoardPicture> | undefined;
  readonly lights?: ReadonlyMap<string, BoardLights> | undefined;
  readonly ladder?: Ladder | undefined;
  readonly title?: string | undefined;
  readonly maker?: string | undefined;
  readonly date?: string | undefined;
  readonly notes?: string | undefined;
}
