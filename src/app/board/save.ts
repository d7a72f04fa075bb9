/** Hands a board to the device, as files. */
import type { Job } from '../../../shared/schemas/job.ts';
import { embedProfile } from '../../core/board/crop/embed-profile.ts';
import { outputProfile } from '../../core/board/crop/output-profile.ts';
import { tell } from '../store/index.ts';
import type { AppProblem } from '../store/work.ts';
import type { Make } from './use-board.ts';

/** A name that every file system takes. */
const fileName = (job: Job): string =>
  (job.name.trim() || 'board')
    .replace(/[\\/:*?"<>|\p{Cc}]+/gu, ' ')
    .trim()
    .slice(0, 80) || 'board';

function download(blob: Blob, name: string): void {
  const address = URL.createObjectURL(blob);
  const link = document.createElement('a');
  link.href = address;
  link.download = name;
  link.click();
  setTimeout(() => URL.revokeObjectURL(address), 60_000);
}

export async function savePdf(job: Job, make: Make): Promise<AppProblem | undefined> {
  const part = await make('pdf');
  if (!part.ok) return part.problem;
  if (part.value.form !== 'pdf') return undefined;
  download(new Blob([part.value.bytes.slice()], { type: 'application/pdf' }), `${fileName(job)}.pdf`);
  tell('The board is saved as a PDF.');
  return undefined;
}

export async function saveHtml(job: Job, make: Make): Promise<AppProblem | undefined> {
  const part = await make('html');
  if (!part.ok) return part.problem;
  if (part.value.form !== 'html') return undefined;
  download(new Blob([part.value.text], { type: 'text/html' }), `${fileName(job)}.html`);
  tell('The board is saved as a web page.');
  return undefined;
}

/** Size of a posted picture. */
const PICTURE = { width: 1200, height: 1500 } as const;

/** Draws the pages as PNG, with the profile of their colours inside. */
export async function savePages(job: Job, svgs: readonly string[]): Promise<AppProblem | undefined> {
  try {
    for (const [i, svg] of svgs.entries()) {
      const bytes = embedProfile(await pngOf(svg), outputProfile('sRGB'));
      const number = svgs.length === 1 ? '' : `-${i + 1}`;
      download(new Blob([bytes.slice()], { type: 'image/png' }), `${fileName(job)}${number}.png`);
    }
    tell(svgs.length === 1 ? 'The picture is saved.' : `${svgs.length} pictures are saved.`);
    return undefined;
  } catch {
    return {
      code: 'picture-refused',
      message: 'This browser could not draw the picture.',
      hint: 'Save the PDF instead.',
    };
  }
}

async function pngOf(svg: string): Promise<Uint8Array> {
  const address = URL.createObjectURL(new Blob([svg], { type: 'image/svg+xml' }));
  try {
    const image = new Image(PICTURE.width, PICTURE.height);
    image.src = address;
    await image.decode();
    const canvas = document.createElement('canvas');
    canvas.width = PICTURE.width;
    canvas.height = PICTURE.height;
    canvas.getContext('2d')?.drawImage(image, 0, 0, PICTURE.width, PICTURE.height);
    const blob = await new Promise<Blob | null>((resolve) => canvas.toBlob(resolve, 'image/png'));
    if (!blob) throw new Error('no picture');
    return new Uint8Array(await blob.arrayBuffer());
  } finally {
    URL.revokeObjectURL(address);
  }
}
