/** A page as a list of things to draw, in millimetres from its top left corner, y down. */

import type { Weight } from '../lettering.ts';
import type { BoardPicture } from '../types.ts';

export type PageItem =
  | {
      readonly kind: 'area';
      readonly x: number;
      readonly y: number;
      readonly width: number;
      readonly height: number;
      readonly fill: string;
      readonly radius?: number;
    }
  | {
      readonly kind: 'outline';
      readonly x: number;
      readonly y: number;
      readonly width: number;
      readonly height: number;
      readonly stroke: string;
      readonly line: number;
      readonly radius?: number;
    }
  | {
      readonly kind: 'picture';
      readonly x: number;
      readonly y: number;
      readonly width: number;
      readonly height: number;
      readonly picture: BoardPicture;
    }
  | {
      readonly kind: 'text';
      readonly text: string;
      /** Start of the baseline, or its end where aligned so. */
      readonly x: number;
      readonly y: number;
      /** Height of an em, mm. */
      readonly size: number;
      readonly weight: Weight;
      readonly fill: string;
      readonly align?: 'start' | 'end';
    }
  | {
      readonly kind: 'modules';
      readonly x: number;
      readonly y: number;
      /** Side of the code without its quiet zone. */
      readonly side: number;
      readonly modules: readonly (readonly boolean[])[];
    };

export interface Page {
  readonly width_mm: number;
  readonly height_mm: number;
  readonly paper: string;
  readonly items: readonly PageItem[];
}

/** A rectangle on a page. */
export interface Box {
  readonly x: number;
  readonly y: number;
  readonly width: number;
  readonly height: number;
}

/** Height of a line of type of `points`, mm. */
export function fromPoints(points: number): number {
  return (points * 25.4) / 72;
}
