/** Draws a job's board in the worker: panels cut out of the photos, pages as pictures, PDF and web page as files. */
import type { Job } from '../../../shared/schemas/job.ts';
import { ladderOf } from '../../core/advise/ladder.ts';
import {
  type BoardFonts,
  type BoardPicture,
  boardDocument,
  boardHtml,
  boardLights,
  boardPdf,
  boardSvgs,
  embedProfile,
  encodeTrue,
  missingOnBoard,
  notesLeftOut,
  outputProfile,
  type PanelCrop,
  type PicturedJobPhoto,
  panelPictures,
  parseLettering,
} from '../../core/board/index.ts';
import { SprayoutError } from '../../core/errors.ts';
import type { FilmFit } from '../../core/film/index.ts';
import { TARGET_ID } from '../../core/job/index.ts';
import { lightsOfJob } from '../../core/lights/index.ts';
import type { JobColours, ReadPhoto } from '../../core/measure/index.ts';
import { compareJob, filmNames } from '../../core/study/index.ts';
import { FONT_ADDRESSES } from './board-fonts.ts';
import type { BoardAsk, DrawnBoard } from './protocol.ts';

/** Longest side of a panel's picture by panels on a sheet: some 200 to the inch on paper. */
const longestPx = (count: number): number => (count <= 1 ? 1100 : count <= 4 ? 700 : 480);

/** Throws what cutting out and drawing throw. */
export async function drawBoard(
  ask: BoardAsk,
  job: Job,
  photos: ReadonlyMap<string, PicturedJobPhoto>,
  measured: JobColours,
  fit: FilmFit | undefined,
): Promise<DrawnBoard> {
  const fonts = await boardFonts();
  const crops = panelPictures(job, photos, measured.colours, {
    ids: [...ask.panels, TARGET_ID],
    longest_px: longestPx(ask.perSheet ?? ask.panels.length),
    space: ask.form === 'pages' ? 'sRGB' : 'auto',
  });
  const document = boardDocument({
    job,
    panels: ask.panels,
    comparison: compareJob(job, measured),
    joined_from: measured.joined_from,
    pictures: await asFiles(crops),
    lights: photos.size > 1 ? boardLights(lightsOfJob(job, readOf(photos)), job) : undefined,
    title: ask.title || undefined,
    maker: ask.maker || undefined,
    date: ask.date || undefined,
    notes: ask.notes || undefined,
    ladder: ask.ladder && fit ? ladderOf(fit, filmNames(job)) : undefined,
  });
  const missing = ask.form === 'html' ? [] : missingOnBoard(document, fonts);
  const { perSheet, paper } = ask;
  switch (ask.form) {
    case 'pages':
      return {
        form: 'pages',
        svgs: boardSvgs(document, { fonts, perSheet }),
        missing,
        leftOut: {
          pictures: notesLeftOut(document, { fonts, perSheet }),
          sheets: notesLeftOut(document, { fonts, perSheet, paper }),
        },
      };
    case 'pdf':
      return { form: 'pdf', bytes: await boardPdf(document, { fonts, perSheet, paper }), missing };
    case 'html':
      return { form: 'html', text: boardHtml(document, fonts), missing };
    default:
      throw new SprayoutError('usage', 'No such form of a board.', 'Ask for pages, PDF or a web page.');
  }
}

const readOf = (photos: ReadonlyMap<string, PicturedJobPhoto>): ReadonlyMap<string, ReadPhoto> =>
  new Map([...photos].map(([id, photo]) => [id, photo.read]));

const JPEG_QUALITY = 0.95;

async function asFiles(crops: ReadonlyMap<string, PanelCrop>): Promise<Map<string, BoardPicture>> {
  const files = new Map<string, BoardPicture>();
  for (const [id, crop] of crops) {
    const { width_px, height_px, space, isWithinSpace } = crop;
    const canvas = new OffscreenCanvas(width_px, height_px);
    const context = canvas.getContext('2d', {
      willReadFrequently: true,
    }) as OffscreenCanvasRenderingContext2D;
    const plain = await encodeTrue(
      crop,
      async (rgb) => {
        const pixels = context.createImageData(width_px, height_px);
        for (let i = 0, j = 0; i < rgb.length; i += 3, j += 4) {
          pixels.data[j] = rgb[i];
          pixels.data[j + 1] = rgb[i + 1];
          pixels.data[j + 2] = rgb[i + 2];
          pixels.data[j + 3] = 255;
        }
        context.putImageData(pixels, 0, 0);
        const blob = await canvas.convertToBlob({ type: 'image/jpeg', quality: JPEG_QUALITY });
        return new Uint8Array(await blob.arrayBuffer());
      },
      async (file) => {
        const bitmap = await createImageBitmap(new Blob([file.slice()]), { colorSpaceConversion: 'none' });
        context.drawImage(bitmap, 0, 0);
        const { data } = context.getImageData(0, 0, width_px, height_px);
        const rgb = new Uint8Array(3 * width_px * height_px);
        for (let i = 0, j = 0; i < rgb.length; i += 3, j += 4) rgb.set(data.subarray(j, j + 3), i);
        return rgb;
      },
    );
    const bytes = embedProfile(plain, outputProfile(space));
    files.set(id, { mime: 'image/jpeg', bytes, width_px, height_px, space, isWithinSpace });
  }
  return files;
}

let fonts: Promise<BoardFonts> | undefined;

function boardFonts(): Promise<BoardFonts> {
  const read = async (address: string): Promise<Uint8Array> =>
    new Uint8Array(await (await fetch(address)).arrayBuffer());
  fonts ??= Promise.all([
    Promise.all(FONT_ADDRESSES.regular.map(read)),
    Promise.all(FONT_ADDRESSES.bold.map(read)),
  ]).then(([regular, bold]) => ({ files: { regular, bold }, lettering: parseLettering({ regular, bold }) }));
  fonts.catch(() => {
    fonts = undefined; // asked again, it may be there
  });
  return fonts;
}
