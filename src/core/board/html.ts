/**
 * A board as one self-contained web page: style, typeface and pictures inside, no script, and a policy that lets nothing
 * else in. Every text of the user is escaped and keeps its own direction.
 */

import { sha256 } from '@noble/hashes/sha2.js';
import type { Ladder, LadderSheet } from '../advise/ladder.ts';
import { base64 } from './base64.ts';
import { withoutIsolates } from './bidi.ts';
import { boardCode, codeModules, QUIET_MODULES } from './code.ts';
import { boardRecord } from './document.ts';
import { BOARD_STYLE } from './html-style.ts';
import { capitalised } from './legend.ts';
import type { BoardFonts, Weight } from './lettering.ts';
import type { PageItem } from './page/display.ts';
import { modulePath, pictureAddress } from './page/paint-svg.ts';
import { coatStrokes, labLines, letdownBar, partColour, partsBar } from './page/parts.ts';
import { partWords } from './recipe.ts';
import { screenColour } from './screen-colour.ts';
import { escaped, short } from './svg.ts';
import type { BoardColour, BoardDocument, BoardPanel } from './types.ts';

/** More panels than this are shown side by side. */
const LARGE = 2;
const LONG_NAME = 60;

/** The page's HTML. Deterministic. */
export function boardHtml(document: BoardDocument, fonts: BoardFonts): string {
  const { title, maker, date, panels, ladder, notes } = document;
  const articles = panels.map((panel) => article(document, panel)).join('');
  const body = [
    `<header><h1 dir="auto">${text(title)}</h1>${maker || date ? `<p class="soft">${[maker, date].flatMap((t) => (t ? [`<bdi>${text(t)}</bdi>`] : [])).join(', ')}</p>` : ''}</header>`,
    `<main>${panels.length > LARGE ? `<div class="grid">${articles}</div>` : articles}`,
    ...(notes ? [`<p class="notes" dir="auto">${text(notes)}</p>`] : []),
    ...(ladder?.sheets.map((sheet) => ladderSection(ladder, sheet)) ?? []),
    `</main>${footer(document)}`,
  ].join('');
  const style = `${fontFaces(fonts, withoutIsolates(body))}${BOARD_STYLE}`;
  const policy = `default-src 'none'; img-src data:; font-src data:; style-src 'sha256-${base64(sha256(new TextEncoder().encode(style)))}'; base-uri 'none'; form-action 'none'`;
  return `<!DOCTYPE html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta http-equiv="Content-Security-Policy" content="${policy}">
<meta name="viewport" content="width=device-width, initial-scale=1">
<meta name="referrer" content="no-referrer">
<title>${escaped(title)}</title>
<style>${style}</style>
</head>
<body>${body}</body>
</html>
`;
}

/** Escaped, with isolated stretches as elements of their own. */
function text(said: string): string {
  return escaped(said).replaceAll('\u2068', '<bdi>').replaceAll('\u2069', '</bdi>');
}

function article(document: BoardDocument, panel: BoardPanel): string {
  const { target } = document;
  const two = target ? ' two' : '';
  const kind = panel.picture ? 'photo, corrected to the card' : 'swatch of the measured colour';
  const difference = panel.difference
    ? `<p><strong>${text(panel.difference.figure)}.</strong> ${text(panel.difference.words)}</p>`
    : '';
  const remarks = [...panel.lights, ...(panel.notes ? [panel.notes] : [])];
  return [
    `<article><figure><div class="meeting${two}">${shown(panel, `${panel.name}: ${kind}`)}${target ? shown(target, target.name) : ''}</div>`,
    `<figcaption class="${two.trim()}"><span>${capitalised(kind)}</span>${target ? `<span dir="auto">${text(target.name)}</span>` : ''}</figcaption></figure>`,
    `<div class="said"><h2 dir="auto"${panel.name.length > LONG_NAME ? ' class="long"' : ''}>${text(panel.name)}</h2>${difference}</div>`,
    `<div class="facts">${recipe(panel)}${coats(panel)}${colour(document, panel)}</div>`,
    remarks.length > 0
      ? `<div class="notes">${remarks.map((r) => `<p dir="auto">${text(r)}</p>`).join('')}</div>`
      : '',
    '</article>',
  ].join('');
}

function shown({ picture, swatch }: BoardColour, label: string): string {
  if (picture)
    return `<img src="${pictureAddress(picture)}" width="${picture.width_px}" height="${picture.height_px}" alt="${escaped(withoutIsolates(label))}">`;
  return `<svg role="img" aria-label="${escaped(withoutIsolates(label))}" viewBox="0 0 1 1" preserveAspectRatio="none"><rect width="1" height="1" fill="${swatch.hex}"/></svg>`;
}

/** Drawn parts of a page as an inline picture that fills its place. */
function drawing(
  items: readonly PageItem[],
  width: number,
  height: number,
  label: string,
  kind: string,
): string {
  const shapes = items.map((item) => {
    if (item.kind === 'area')
      return `<rect x="${short(item.x)}" y="${short(item.y)}" width="${short(item.width)}" height="${short(item.height)}"${item.radius ? ` rx="${short(item.radius)}"` : ''} fill="${item.fill}"/>`;
    if (item.kind === 'outline')
      return `<rect x="${short(item.x)}" y="${short(item.y)}" width="${short(item.width)}" height="${short(item.height)}"${item.radius ? ` rx="${short(item.radius)}"` : ''} fill="none" stroke="${item.stroke}" stroke-width="${short(item.line)}"/>`;
    return '';
  });
  return `<svg class="${kind}" role="img" aria-label="${escaped(withoutIsolates(label))}" viewBox="0 0 ${width} ${height}" preserveAspectRatio="${kind === 'coats' ? 'xMinYMax meet' : 'none'}">${shapes.join('')}</svg>`;
}

function recipe(panel: BoardPanel): string {
  if (!panel.recipe)
    return `<section><h3>Recipe</h3><p>${panel.coats === 0 ? 'Bare ground, nothing over it' : 'Not written down'}</p></section>`;
  const bar = drawing(
    partsBar(panel, { x: 0, y: 0, width: 60, height: 7 }),
    60,
    7,
    `Parts: ${panel.recipe.words}`,
    'bar',
  );
  const { parts } = panel.recipe;
  const rows = parts.map(
    (part, i) =>
      `<li><svg aria-hidden="true" viewBox="0 0 1 1"><rect width="1" height="1" fill="${partColour(part.colour, i)}"/></svg><span>${text(partWords(part, parts))}</span></li>`,
  );
  const open = letdownBar(panel, { x: 0, y: 0, width: 60, height: 1.6 });
  const letDown = open.length > 0 ? drawing(open, 60, 1.6, panel.recipe.letdown, 'let') : '';
  return `<section><h3>Recipe</h3>${bar}<ul class="parts">${rows.join('')}</ul>${letDown}<p class="soft">${text(panel.recipe.letdown)}</p></section>`;
}

function coats(panel: BoardPanel): string {
  const { items } = coatStrokes(panel, { x: 0, y: 0, width: 60, height: 20 });
  return `<section><h3>Coats</h3>${drawing(items, 60, 20, panel.build || 'Coats not written down', 'coats')}<p>${text(panel.build)}</p></section>`;
}

function colour({ white }: BoardDocument, panel: BoardPanel): string {
  const rows = labLines(panel).map((row) => `<li>${row}</li>`);
  const said = [...panel.remarks, panel.origin];
  return `<section><h3>Colour under ${escaped(white)}</h3><div class="colour"><svg role="img" aria-label="Swatch of the mean colour" viewBox="0 0 1 1"><rect width="1" height="1" fill="${panel.swatch.hex}"/></svg><ul>${rows.join('')}</ul></div>${said.map((s) => `<p class="soft">${text(s)}</p>`).join('')}</section>`;
}

function ladderSection({ white, target }: Ladder, sheet: LadderSheet): string {
  const head = sheet.columns.map((c) => `<th scope="col">${text(c)}</th>`).join('');
  const rows = sheet.cells.map((row, r) => {
    const cells = row.map(({ lab, de00, panels }, c) => {
      const { hex, isWithinScreen } = screenColour(lab, white);
      const best = sheet.best?.[0] === r && sheet.best[1] === c;
      return `<td${best ? ' class="best"' : ''}><svg aria-hidden="true" viewBox="0 0 1 1" preserveAspectRatio="none"><rect width="1" height="1" fill="${hex}"/></svg>${de00 === undefined ? '' : de00.toFixed(1)}${isWithinScreen ? '' : '*'}${panels.length > 0 ? ` <bdi>${text(panels.join(' '))}</bdi>` : ''}</td>`;
    });
    return `<tr><th scope="row">${sheet.coats[r]} ${sheet.coats[r] === 1 ? 'coat' : 'coats'}</th>${cells.join('')}</tr>`;
  });
  const said = target
    ? `Figures: ΔE from <bdi>${text(target.name)}</bdi>, from an even hand; framed: the nearest. `
    : 'From an even hand. ';
  return `<section class="ladder" tabindex="0" aria-label="${escaped(withoutIsolates(sheet.title))}"><h2 dir="auto">${text(sheet.title)}</h2><table><caption>${text(sheet.subtitle)}. ${said}* more saturated than a plain screen can show.</caption><thead><tr><td></td>${head}</tr></thead><tbody>${rows.join('')}</tbody></table></section>`;
}

function footer(document: BoardDocument): string {
  const modules = codeModules(boardCode(boardRecord(document, document.panels)));
  const side = modules.length + 2 * QUIET_MODULES;
  return `<footer><div><p>ΔE is CIEDE2000; “between” and ± hold 95 times of 100. No screen or print shows a true colour: judge the panel itself. The code finds this record again in the app.</p>${document.cautions.map((c) => `<p>${text(c)}</p>`).join('')}</div><svg role="img" aria-label="Code that finds this record again" viewBox="0 0 ${side} ${side}" shape-rendering="crispEdges"><path d="${modulePath(modules, QUIET_MODULES, QUIET_MODULES, modules.length)}"/></svg></footer>`;
}

/** The typeface's files that hold a character of the text, as style. Later rules are asked first. */
function fontFaces({ files, lettering }: BoardFonts, said: string): string {
  const characters = [...new Set(said)];
  const faces = (['regular', 'bold'] as const).flatMap((weight: Weight) =>
    lettering[weight].flatMap((font, i) => {
      const isFirst = (c: string): boolean =>
        lettering[weight].findIndex((f) => f.charToGlyphIndex(c) > 0) === i;
      return characters.some((c) => font.charToGlyphIndex(c) > 0 && isFirst(c))
        ? [
            `@font-face{font-family:Inter;font-weight:${weight === 'bold' ? 600 : 400};src:url(data:font/woff;base64,${base64(files[weight][i])}) format("woff")}`,
          ]
        : [];
    }),
  );
  return `${faces.reverse().join('\n')}\n`;
}
