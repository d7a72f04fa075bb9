/** What the screens ask of the worker, and what it tells. Everything here is a plain value. */
import type { CardDefinition } from '../../../shared/schemas/card.ts';
import type { Job, JobPhoto } from '../../../shared/schemas/job.ts';
import type { Advice, AdviseSettings } from '../../core/advise/index.ts';
import type { Ladder } from '../../core/advise/ladder.ts';
import type { BoardReference } from '../../core/board/code.ts';
import type { Paper } from '../../core/card/draw/sheet.ts';
import type { Lab } from '../../core/color/index.ts';
import type { Comparison } from '../../core/compare/index.ts';
import type { Warning } from '../../core/errors.ts';
import type { PanelResidual, Prediction, Recipe } from '../../core/film/index.ts';
import type { PanelSurface } from '../../core/lights/surface.ts';
import type { Lights } from '../../core/lights/types.ts';
import type { JobColours, MeasuredPhoto } from '../../core/measure/index.ts';
import type {
  MixingSheet,
  Pot,
  PotCorrection,
  PotImpossible,
  PotMix,
  SheetRequest,
} from '../../core/mix/index.ts';
import type { QuadPx } from '../../core/photo/types.ts';
import type { Part, Problem } from '../../core/study/index.ts';

export type { Part, Problem } from '../../core/study/index.ts';

/** A photo of the job as read. */
export interface PhotoReport {
  readonly size_px: readonly [width: number, height: number];
  /** The card and the panels, this photo taken alone. Panels that could not be read are in `refused`. */
  readonly measured: MeasuredPhoto;
  /** Every patch of the card, and of strips beside it. */
  readonly patches: readonly {
    readonly id: string;
    readonly corners_px: QuadPx;
    readonly leftOut: boolean;
    /** How far off it is when predicted from the others, ΔE00; undefined when it was not used. */
    readonly off_de00?: number | undefined;
  }[];
  /** Panels, and `target`, that could not be read here. */
  readonly refused: readonly { readonly id: string; readonly problem: Problem }[];
  /** What decoding had to say. */
  readonly warnings: readonly Warning[];
}

/** How the sprayed panels stand to the film model learned from them. */
export interface FilmReport {
  readonly residuals: readonly PanelResidual[];
  readonly residual_mean_de00: number;
  readonly panels_used: number;
  /** What is usual in the job: the middle of what was sprayed. */
  readonly usual: { readonly coats: number; readonly carrier: number; readonly reducer_pct: number };
  readonly warnings: readonly Warning[];
}

/** A photo's bytes, asked for only when they are needed. */
export type PhotoSource = (photoId: string) => Promise<Blob>;

export interface StudyRequest {
  /** The job's key in the library: photos are kept in the worker by it. */
  readonly jobId: string;
  readonly job: Job;
  /** Card definitions by photo id, for photos whose card is not the project's own. */
  readonly cards: Readonly<Record<string, CardDefinition>>;
}

export type StudyEvent =
  | { readonly kind: 'progress'; readonly words: string; readonly fraction: number }
  | { readonly kind: 'photo'; readonly id: string; readonly report: Part<PhotoReport> }
  | { readonly kind: 'colours'; readonly part: Part<JobColours> }
  | { readonly kind: 'comparison'; readonly part: Part<Comparison> }
  | { readonly kind: 'film'; readonly part: Part<FilmReport> }
  | { readonly kind: 'advice'; readonly part: Part<Advice> };

/** Panels found in a photo by themselves, in reading order, named A, B … */
export interface FoundPanels {
  readonly panels: readonly {
    readonly id: string;
    readonly corners_px: QuadPx;
    /** Its colour, this photo taken alone; undefined where it cannot be read. */
    readonly lab?: Lab | undefined;
  }[];
  /** `finder-missing` when the trained finder could not be loaded. */
  readonly warnings: readonly Warning[];
}

/** The panels' surfaces in one photo, with what is said of them. */
export interface PhotoSurfaces {
  /** The panel that textures are held against; undefined where none is told. */
  readonly heldAgainst: string | undefined;
  readonly panels: readonly (PanelSurface & {
    readonly evenness_words: string | undefined;
    readonly against_words: string | undefined;
  })[];
}

/** What a board is to show, and in which form it is wanted. */
export interface BoardAsk {
  readonly form: 'pages' | 'pdf' | 'html';
  /** Ids, in this order. */
  readonly panels: readonly string[];
  readonly title: string;
  readonly maker: string;
  readonly date: string;
  readonly notes: string;
  readonly ladder: boolean;
  readonly perSheet?: number | undefined;
  readonly paper: 'a4' | 'letter';
}

/** `missing`: characters that the typeface does not have. */
export type DrawnBoard = { readonly missing: readonly string[] } & (
  | {
      readonly form: 'pages';
      readonly svgs: readonly string[];
      /** Panels (and `board`) whose notes the pictures, and the sheets of a PDF, have no room for. */
      readonly leftOut: { readonly pictures: readonly string[]; readonly sheets: readonly string[] };
    }
  | { readonly form: 'pdf'; readonly bytes: Uint8Array }
  | { readonly form: 'html'; readonly text: string }
);

/** A job to pack into one file. */
export interface PackRequest {
  readonly job: Job;
  /** By photo id; a photo whose bytes are lost is left out of it. */
  readonly photos: ReadonlyMap<string, Blob>;
  readonly cards: ReadonlyMap<string, CardDefinition>;
  /** Leaves place, serial numbers and owner in the photos. */
  readonly keepMetadata: boolean;
}

export interface PackedJob {
  readonly file: Blob;
  readonly warnings: readonly Warning[];
}

/** A job out of a bundle, with what belongs to it. */
export interface OpenedBundle {
  readonly job: Job;
  readonly photos: readonly { readonly id: string; readonly blob: Blob }[];
  readonly cards: readonly { readonly path: string; readonly card: CardDefinition }[];
  readonly warnings: readonly Warning[];
}

/** What a board's code says, see `parseBoardCode`. */
export type BoardFind = BoardReference;

/**
 * The worker. `study` tells its parts as they come and resolves to false when a newer study overtook it. The other
 * questions are answered from the last study of the job.
 */
export interface BenchApi {
  /** Answers as soon as the worker has a moment: it lives. */
  beat(): Promise<void>;
  study(request: StudyRequest, source: PhotoSource, tell: (event: StudyEvent) => void): Promise<boolean>;
  /** Loads the panel finder before it is asked; false when it can't be had. */
  prepareFinder(): Promise<boolean>;
  findPanels(request: StudyRequest, photoId: string, source: PhotoSource): Promise<Part<FoundPanels>>;
  /** Texture and evenness of every panel in one of the photos. */
  surfaces(request: StudyRequest, photoId: string, source: PhotoSource): Promise<Part<PhotoSurfaces>>;
  /** A JPEG of a photo that browsers do not show (HEIC, DNG), at the photo's own size: to look at, not to measure. */
  picture(jobId: string, photo: JobPhoto, source: PhotoSource): Promise<Part<Blob>>;
  predict(recipe: Recipe): Promise<Part<Prediction>>;
  ladder(): Promise<Part<Ladder>>;
  advise(settings: Partial<AdviseSettings>): Promise<Part<Advice>>;
  sheet(request: SheetRequest): Promise<Part<MixingSheet>>;
  /** ΔE2000 by which rounding to the cup's marks moves the colour, from the job's own panels. */
  roundingOf(wanted: Recipe, poured: PotMix): Promise<Part<number>>;
  /** The job's panels under the lights of its photos. */
  lights(request: StudyRequest, source: PhotoSource): Promise<Part<Lights>>;
  board(request: StudyRequest, ask: BoardAsk, source: PhotoSource): Promise<Part<DrawnBoard>>;
  /** The card to print, with its grey strips, as a PDF. */
  cardPage(paper: Paper): Promise<Part<Uint8Array>>;
  /** Reads the code of a board in a photo of it. */
  readBoardCode(photo: Blob): Promise<Part<BoardFind>>;
  correctPot(pot: Pot, goal: PotMix): Promise<Part<PotCorrection | PotImpossible>>;
  /** Packs a job with its photos and cards into a bundle. */
  packJob(request: PackRequest): Promise<Part<PackedJob>>;
  /** Reads a bundle, every file checked; `allowDamaged` takes what is whole in a damaged one. */
  openBundle(file: File, options: { readonly allowDamaged: boolean }): Promise<Part<OpenedBundle>>;
  /** Checks a job out of a file: the same rules as the command line's. */
  parseJob(json: unknown, where: string): Promise<Part<Job>>;
  parseCard(json: unknown, where: string): Promise<Part<CardDefinition>>;
}
