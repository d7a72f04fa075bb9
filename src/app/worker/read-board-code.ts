/** Finds the 2D code (QR, ISO/IEC 18004) in a photo of a board. */
import jsQR from 'jsqr';
import { type BoardReference, parseBoardCode } from '../../core/board/code.ts';
import { SprayoutError } from '../../core/errors.ts';
import { decodePhoto } from './decode.ts';
import { pictureOf } from './picture.ts';

/** Longest sides tried: a code that fills the photo reads best small, one in a corner of a sheet large. */
const SIDES_PX = [1200, 2400, 640] as const;

/** Throws `readings-invalid` when there is no code, or not a board's. */
export async function readBoardCode(photo: Blob): Promise<BoardReference> {
  // refuses what is no photo, in words
  const { raster } = await decodePhoto(photo, 'the photo of the board');
  const bitmap = await createImageBitmap(photo, { imageOrientation: 'from-image' }).catch(async () =>
    createImageBitmap(await pictureOf(raster)),
  );
  for (const side of SIDES_PX) {
    const scale = Math.min(1, side / Math.max(bitmap.width, bitmap.height));
    const [width, height] = [Math.round(bitmap.width * scale), Math.round(bitmap.height * scale)];
    const context = new OffscreenCanvas(width, height).getContext('2d') as OffscreenCanvasRenderingContext2D;
    context.drawImage(bitmap, 0, 0, width, height);
    const found = jsQR(context.getImageData(0, 0, width, height).data, width, height);
    if (found) return parseBoardCode(found.data);
  }
  throw new SprayoutError(
    'readings-invalid',
    'No code was found in the photo.',
    'Hold the camera square over the board’s code, near enough that it fills a third of the photo.',
  );
}
