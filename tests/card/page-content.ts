import { decodePDFRawStream, PDFArray, PDFDocument, type PDFPage, type PDFRawStream } from 'pdf-lib';

/** What a page shows, in points from its bottom left corner as PDF counts: read back from the content stream. */
export interface PageContent {
  readonly size_pt: readonly [number, number];
  readonly fills: readonly {
    readonly colour: readonly number[];
    readonly polygons: readonly (readonly (readonly [number, number])[])[];
  }[];
  readonly segments: readonly (readonly [readonly [number, number], readonly [number, number]])[];
  readonly texts: readonly { readonly text: string; readonly at_pt: readonly [number, number] }[];
  readonly operators: ReadonlySet<string>;
}

type Matrix = readonly [number, number, number, number, number, number];

function times([a, b, c, d, e, f]: Matrix, [A, B, C, D, E, F]: Matrix): Matrix {
  return [a * A + b * C, a * B + b * D, c * A + d * C, c * B + d * D, e * A + f * C + E, e * B + f * D + F];
}

function apply([a, b, c, d, e, f]: Matrix, x: number, y: number): readonly [number, number] {
  return [a * x + c * y + e, b * x + d * y + f];
}

function streamText(page: PDFPage): string {
  const contents = page.node.Contents();
  const streams =
    contents instanceof PDFArray ? contents.asArray().map((ref) => page.doc.context.lookup(ref)) : [contents];
  return streams
    .map((s) => Buffer.from(decodePDFRawStream(s as PDFRawStream).decode()).toString('latin1'))
    .join('\n');
}

function contentOf(page: PDFPage): PageContent {
  let matrix: Matrix = [1, 0, 0, 1, 0, 0];
  const stack: Matrix[] = [];
  let colour: number[] = [];
  let path: (readonly [number, number])[][] = [];
  let textAt: readonly [number, number] = [0, 0];
  const fills: PageContent['fills'][number][] = [];
  const segments: PageContent['segments'][number][] = [];
  const texts: PageContent['texts'][number][] = [];
  const operators = new Set<string>();
  let operands: string[] = [];
  for (const token of streamText(page).match(/<[0-9A-Fa-f]*>|\/\S+|[^\s<>]+/g) ?? []) {
    if (/^[-+.\d</]/.test(token)) {
      operands.push(token);
      continue;
    }
    const n = operands.map(Number);
    operators.add(token);
    if (token === 'q') stack.push(matrix);
    else if (token === 'Q') matrix = stack.pop() as Matrix;
    else if (token === 'cm') matrix = times(n as unknown as Matrix, matrix);
    else if (token === 'g' || token === 'rg') colour = n;
    else if (token === 'm') path.push([apply(matrix, n[0], n[1])]);
    else if (token === 'l') path[path.length - 1].push(apply(matrix, n[0], n[1]));
    else if (token === 'f') {
      fills.push({ colour, polygons: path });
      path = [];
    } else if (token === 'S') {
      for (const points of path)
        for (let i = 1; i < points.length; i++) segments.push([points[i - 1], points[i]]);
      path = [];
    } else if (token === 'Tm') textAt = apply(matrix, n[4], n[5]);
    else if (token === 'Tj')
      texts.push({ text: Buffer.from(operands[0].slice(1, -1), 'hex').toString('latin1'), at_pt: textAt });
    operands = [];
  }
  const { width, height } = page.getSize();
  return { size_pt: [width, height], fills, segments, texts, operators };
}

/** Reads back every page of a PDF. */
export async function pagesOf(pdf: Uint8Array): Promise<readonly PageContent[]> {
  return (await PDFDocument.load(pdf)).getPages().map(contentOf);
}

/** A place on a page in mm from its top left corner. One inch is 72 points and 25.4 mm. */
export function toMm(page: PageContent, [x, y]: readonly [number, number]): readonly [number, number] {
  return [(x * 25.4) / 72, ((page.size_pt[1] - y) * 25.4) / 72];
}
