/** The stage's size and what of the photo it shows. */
import { type RefObject, useCallback, useEffect, useRef, useState } from 'react';
import type { PointPx } from '../../core/photo/types.ts';
import type { SizePx } from './quads.ts';
import { type Frame, frameOf, pannedBy, toStage, type View, wholePhoto, zoomedAt } from './view.ts';

/** A turn of the wheel by one line, as a zoom factor. */
const WHEEL_STEP = 0.0016;

export interface Stage {
  readonly ref: RefObject<HTMLDivElement | null>;
  readonly size: SizePx;
  readonly frame: Frame;
  readonly isZoomed: boolean;
  /** `at` on the stage; its middle when left out. */
  readonly zoomBy: (factor: number, at?: PointPx) => void;
  readonly panBy: (d: PointPx) => void;
  readonly showWhole: () => void;
  /** Brings a pixel of the photo into sight when it is not. */
  readonly reveal: (at: PointPx) => void;
}

/** Begins anew with every photo. */
export function useStage(photoId: string, photo: SizePx): Stage {
  const ref = useRef<HTMLDivElement>(null);
  const [size, setSize] = useState<SizePx>([1, 1]);
  const [view, setView] = useState<View>(wholePhoto(photo));
  const [width, height] = photo;
  useEffect(() => {
    const element = ref.current;
    if (!element) return;
    const watch = new ResizeObserver(() => setSize([element.clientWidth || 1, element.clientHeight || 1]));
    watch.observe(element);
    return () => watch.disconnect();
  }, []);
  // biome-ignore lint/correctness/useExhaustiveDependencies: another photo is shown whole at first
  useEffect(() => setView(wholePhoto([width, height])), [photoId, width, height]);
  const zoomBy = useCallback(
    (factor: number, at: PointPx = [size[0] / 2, size[1] / 2]) =>
      setView((v) => zoomedAt(v, factor, at, [width, height], size)),
    [size, width, height],
  );
  const isZoomed = view.zoom > 1.001;
  useWheel(ref, isZoomed, zoomBy);
  return {
    ref,
    size,
    frame: frameOf(view, photo, size),
    isZoomed,
    zoomBy,
    panBy: (d) => setView((v) => pannedBy(v, d, photo, size)),
    showWhole: () => setView(wholePhoto(photo)),
    reveal: (at) => {
      const [x, y] = toStage(frameOf(view, photo, size), at);
      const isSeen = x > 0 && y > 0 && x < size[0] && y < size[1];
      if (!isSeen) setView((v) => ({ ...v, centre: at }));
    },
  };
}

/** The wheel zooms once the painter is at the photo: zoomed in already, or with the key held. Else it moves the page. */
function useWheel(
  ref: RefObject<HTMLDivElement | null>,
  isZoomed: boolean,
  zoomBy: (factor: number, at: PointPx) => void,
): void {
  useEffect(() => {
    const element = ref.current;
    if (!element) return;
    const onWheel = (event: WheelEvent): void => {
      if (!isZoomed && !event.ctrlKey && !event.metaKey && !element.contains(document.activeElement)) return;
      event.preventDefault();
      const { left, top } = element.getBoundingClientRect();
      const lines = event.deltaMode === WheelEvent.DOM_DELTA_LINE ? 30 : 1;
      const strength = event.ctrlKey ? 5 : 1;
      zoomBy(Math.exp(-event.deltaY * lines * strength * WHEEL_STEP), [
        event.clientX - left,
        event.clientY - top,
      ]);
    };
    element.addEventListener('wheel', onWheel, { passive: false });
    return () => element.removeEventListener('wheel', onWheel);
  }, [ref, isZoomed, zoomBy]);
}
