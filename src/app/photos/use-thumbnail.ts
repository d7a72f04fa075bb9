import { type RefObject, useEffect, useRef } from 'react';
import { openShownPhoto } from '../store/index.ts';

/** Paints a small copy of a photo on a canvas. Decoding happens beside the page, and what is kept is small. */
export function useThumbnail(photoId: string, height_px: number): RefObject<HTMLCanvasElement | null> {
  const ref = useRef<HTMLCanvasElement>(null);
  useEffect(() => {
    let isCurrent = true;
    const paint = async (): Promise<void> => {
      const blob = await openShownPhoto(photoId);
      if (!blob || !isCurrent) return;
      const bitmap = await createImageBitmap(blob, { resizeHeight: height_px, resizeQuality: 'medium' });
      const canvas = ref.current;
      if (isCurrent && canvas) {
        canvas.width = bitmap.width;
        canvas.height = bitmap.height;
        canvas.getContext('2d')?.drawImage(bitmap, 0, 0);
      }
      bitmap.close();
    };
    // what cannot be painted is told by the photo's state
    paint().catch(() => {});
    return () => {
      isCurrent = false;
    };
  }, [photoId, height_px]);
  return ref;
}
