import {
  decodePDFRawStream,
  PDFArray,
  PDFDict,
  PDFDocument,
  PDFName,
  type PDFPage,
  type PDFRawStream,
  PDFStream,
} from 'pdf-lib';

const latin1 = (stream: unknown): string =>
  Buffer.from(decodePDFRawStream(stream as PDFRawStream).decode()).toString('latin1');

const utf16 = (hex: string): string => Buffer.from(hex, 'hex').swap16().toString('utf16le');

/** From a font's codes to text, by its ToUnicode map (ISO 32000-2, 9.10.3). */
function toUnicode(font: PDFDict): Map<string, string> {
  const map = new Map<string, string>();
  for (const [, code, text] of latin1(font.lookup(PDFName.of('ToUnicode'), PDFStream)).matchAll(
    /<([0-9A-Fa-f]{4})>\s*<([0-9A-Fa-f]+)>/g,
  ))
    map.set(code.toUpperCase(), utf16(text));
  return map;
}

function lines(page: PDFPage): string[] {
  const fonts = page.node.Resources()!.lookup(PDFName.of('Font'), PDFDict);
  const maps = new Map(fonts.keys().map((name) => [name.asString(), toUnicode(fonts.lookup(name, PDFDict))]));
  const contents = page.node.Contents();
  const content = (
    contents instanceof PDFArray ? contents.asArray().map((r) => page.doc.context.lookup(r)) : [contents]
  )
    .map(latin1)
    .join('\n');
  const out: string[] = [];
  let map = new Map<string, string>();
  let actual: string | undefined;
  for (const [token, hex, font, codes] of content.matchAll(
    /\/ActualText <([0-9A-Fa-f]*)>|(\/\S+) \S+ Tf|((?:\[[^\]]*\] TJ)|(?:<[0-9A-Fa-f]*> Tj))|EMC/g,
  )) {
    if (hex) actual = utf16(hex.replace(/^FEFF/i, ''));
    else if (font) map = maps.get(font)!;
    else if (token === 'EMC') {
      out.push(actual!);
      actual = undefined;
    } else if (actual === undefined)
      out.push(
        [...codes.matchAll(/<([0-9A-Fa-f]*)>/g)]
          .flatMap(([, run]) => run.match(/.{4}/g) ?? [])
          .map((code) => map.get(code.toUpperCase()) ?? '\ufffd')
          .join(''),
      );
  }
  return out;
}

/** The text of each page as a reader would copy it: one string a piece of text that was set. */
export async function pdfTexts(bytes: Uint8Array): Promise<string[][]> {
  return (await PDFDocument.load(bytes)).getPages().map(lines);
}
