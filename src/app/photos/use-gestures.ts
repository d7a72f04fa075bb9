/** Fingers, pen and mouse on the stage: tap, pan, pinch, drag a corner or an outline, draw a box. */
import { type PointerEvent, useRef, useState } from 'react';
import type { PointPx, QuadPx } from '../../core/photo/types.ts';
import { boxQuad, movedCorner, movedQuad, type SizePx } from './quads.ts';
import type { Moving } from './use-outline-draft.ts';
import type { Stage } from './use-stage.ts';
import { toPhoto } from './view.ts';

/** Movement below this is a tap, CSS pixels: gloves are not still. */
const TAP_PX = 10;

/** What lies under a pointer when it comes down. */
interface Grip {
  readonly id: string;
  readonly corner: number | undefined;
  readonly quad: QuadPx;
  /** Only what is selected can be dragged; the rest is tapped. */
  readonly isMovable: boolean;
}

type Gesture =
  | { readonly kind: 'press'; readonly from: PointPx; readonly grip: Grip | undefined }
  | { readonly kind: 'pan'; readonly last: PointPx }
  | { readonly kind: 'move'; readonly from: PointPx; readonly grip: Grip }
  | { readonly kind: 'box'; readonly from: PointPx }
  | { readonly kind: 'pinch'; readonly apart: number };

export interface GestureCalls {
  readonly stage: Stage;
  readonly photo: SizePx;
  readonly moving: Moving;
  readonly isDrawing: boolean;
  readonly quadOf: (id: string) => QuadPx | undefined;
  readonly canMove: (id: string) => boolean;
  readonly onTapOutline: (id: string) => void;
  readonly onTapPhoto: (at: PointPx) => void;
  readonly onBox: (quad: QuadPx) => void;
}

const apart = ([a, b]: readonly PointPx[]): number => Math.hypot(a[0] - b[0], a[1] - b[1]);

export function useGestures(calls: GestureCalls) {
  const { stage, photo, moving, isDrawing } = calls;
  const pointers = useRef(new Map<number, PointPx>());
  const gesture = useRef<Gesture>(undefined);
  const [box, setBox] = useState<QuadPx>();

  const at = (event: PointerEvent): PointPx => {
    const { left, top } = event.currentTarget.getBoundingClientRect();
    return [event.clientX - left, event.clientY - top];
  };
  const gripOf = (event: PointerEvent): Grip | undefined => {
    const element = (event.target as Element).closest<SVGElement>('[data-outline]');
    const id = element?.dataset.outline;
    const quad = id === undefined ? undefined : calls.quadOf(id);
    if (id === undefined || !quad) return undefined;
    const corner = element?.dataset.corner === undefined ? undefined : Number(element.dataset.corner);
    return { id, corner, quad, isMovable: calls.canMove(id) };
  };

  const onPointerDown = (event: PointerEvent<SVGSVGElement>): void => {
    if (event.button !== 0) return;
    const from = at(event);
    event.currentTarget.setPointerCapture(event.pointerId);
    pointers.current.set(event.pointerId, from);
    if (pointers.current.size === 2) {
      moving.cancel();
      setBox(undefined);
      gesture.current = { kind: 'pinch', apart: apart([...pointers.current.values()]) };
    } else if (pointers.current.size === 1)
      gesture.current = { kind: 'press', from, grip: isDrawing ? undefined : gripOf(event) };
  };

  const onPointerMove = (event: PointerEvent<SVGSVGElement>): void => {
    if (!pointers.current.has(event.pointerId)) return;
    const to = at(event);
    pointers.current.set(event.pointerId, to);
    const now = gesture.current;
    if (now?.kind === 'press' && Math.hypot(to[0] - now.from[0], to[1] - now.from[1]) > startOf(now)) {
      if (isDrawing) gesture.current = { kind: 'box', from: now.from };
      else if (now.grip?.isMovable) gesture.current = { kind: 'move', from: now.from, grip: now.grip };
      else gesture.current = { kind: 'pan', last: now.from };
    }
    follow(to);
  };

  const follow = (to: PointPx): void => {
    const now = gesture.current;
    if (now?.kind === 'pinch') {
      const both = [...pointers.current.values()];
      if (both.length < 2) return;
      const middle: PointPx = [(both[0][0] + both[1][0]) / 2, (both[0][1] + both[1][1]) / 2];
      stage.zoomBy(apart(both) / Math.max(1, now.apart), middle);
      gesture.current = { kind: 'pinch', apart: apart(both) };
    } else if (now?.kind === 'pan') {
      stage.panBy([to[0] - now.last[0], to[1] - now.last[1]]);
      gesture.current = { kind: 'pan', last: to };
    } else if (now?.kind === 'move') {
      const { scale } = stage.frame;
      const { id, corner, quad } = now.grip;
      const d: PointPx = [(to[0] - now.from[0]) / scale, (to[1] - now.from[1]) / scale];
      moving.show({
        id,
        corner,
        quad: corner === undefined ? movedQuad(quad, d, photo) : movedCorner(quad, corner, d, photo),
      });
    } else if (now?.kind === 'box') setBox(boxQuad(inPhoto(now.from), inPhoto(to)));
  };

  const inPhoto = (point: PointPx): PointPx => {
    const [x, y] = toPhoto(stage.frame, point);
    return [Math.min(photo[0], Math.max(0, x)), Math.min(photo[1], Math.max(0, y))];
  };

  const onPointerUp = (event: PointerEvent<SVGSVGElement>): void => {
    if (!pointers.current.delete(event.pointerId)) return;
    const now = gesture.current;
    if (now?.kind === 'pinch') {
      if (pointers.current.size === 0) gesture.current = undefined;
      return;
    }
    gesture.current = undefined;
    if (now?.kind === 'press') {
      if (isDrawing) calls.onTapPhoto(inPhoto(now.from));
      else if (now.grip && now.grip.corner === undefined) calls.onTapOutline(now.grip.id);
    } else if (now?.kind === 'move') moving.finish();
    else if (now?.kind === 'box') {
      setBox(undefined);
      calls.onBox(boxQuad(inPhoto(now.from), inPhoto(at(event))));
    }
  };

  const onPointerCancel = (event: PointerEvent<SVGSVGElement>): void => {
    pointers.current.delete(event.pointerId);
    gesture.current = undefined;
    moving.cancel();
    setBox(undefined);
  };

  return { box, handlers: { onPointerDown, onPointerMove, onPointerUp, onPointerCancel } };
}

/** A corner follows at once: it was aimed at. */
const startOf = (press: { readonly grip: Grip | undefined }): number =>
  press.grip?.corner === undefined ? TAP_PX : 1;
