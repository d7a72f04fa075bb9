import { extname } from 'node:path';
import {
  type BoardDocument,
  type BoardPaper,
  type BoardPicture,
  boardHtml,
  boardPdf,
  boardSvgs,
  embedProfile,
  encodeTrue,
  outputProfile,
  type PanelCrop,
} from '../core/board/index.ts';
import { SprayoutError } from '../core/errors.ts';
import { boardFonts } from './board-fonts.ts';
import { writeWholeFiles } from './board-write.ts';

export const BOARD_ENDINGS = ['.pdf', '.html', '.png'] as const;
export type BoardEnding = (typeof BOARD_ENDINGS)[number];

/** What a file's name asks for. Throws `usage` for another ending. */
export function boardEnding(path: string): BoardEnding {
  const ending = extname(path).toLowerCase();
  const known = BOARD_ENDINGS.find((e) => e === ending || (e === '.html' && ending === '.htm'));
  if (known) return known;
  throw new SprayoutError('usage', `${path} is no name for a board.`, 'End the name in .pdf, .html or .png.');
}

/** Quality at which a panel's sparkle survives. */
const JPEG_QUALITY = 93;

/** Panel pictures as JPEG files that carry their colour profile and nothing else. */
export async function boardPictures(
  crops: ReadonlyMap<string, PanelCrop>,
): Promise<Map<string, BoardPicture>> {
  const { default: sharp } = await import('sharp');
  const out = new Map<string, BoardPicture>();
  for (const [id, crop] of crops) {
    const { width_px, height_px, space, isWithinSpace } = crop;
    const plain = await encodeTrue(
      crop,
      (rgb) =>
        sharp(rgb, { raw: { width: width_px, height: height_px, channels: 3 } })
          .jpeg({ quality: JPEG_QUALITY, chromaSubsampling: '4:4:4' })
          .toBuffer(),
      (file) => sharp(file).raw().toBuffer(),
    );
    out.set(id, {
      mime: 'image/jpeg',
      bytes: embedProfile(plain, outputProfile(space)),
      width_px,
      height_px,
      space,
      isWithinSpace,
    });
  }
  return out;
}

export interface WriteBoardOptions {
  readonly perSheet?: number | undefined;
  readonly paper?: BoardPaper | undefined;
}

/**
 * Writes a board by the ending of `path`: the whole of it or nothing. Pictures of several sheets are numbered, `lid-1.png`,
 * `lid-2.png` and so on. Returns the paths written. Throws `usage`, `output-unwritable`.
 */
export async function writeBoard(
  document: BoardDocument,
  path: string,
  { perSheet, paper }: WriteBoardOptions = {},
): Promise<string[]> {
  const ending = boardEnding(path);
  const fonts = await boardFonts();
  if (ending === '.pdf')
    return writeWholeFiles([[path, await boardPdf(document, { fonts, perSheet, paper })]]);
  if (ending === '.html') return writeWholeFiles([[path, boardHtml(document, fonts)]]);
  const { default: sharp } = await import('sharp');
  const pictures: [string, Uint8Array][] = [];
  const svgs = boardSvgs(document, { fonts, perSheet });
  for (const [i, svg] of svgs.entries()) {
    const png = await sharp(Buffer.from(svg), { unlimited: true })
      .removeAlpha()
      .png({ compressionLevel: 9 })
      .toBuffer();
    const name =
      svgs.length === 1 ? path : `${path.slice(0, -ending.length)}-${i + 1}${path.slice(-ending.length)}`;
    pictures.push([name, embedProfile(png, outputProfile('sRGB'))]);
  }
  return writeWholeFiles(pictures);
}
