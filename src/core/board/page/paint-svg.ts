/** A page as SVG: text as outlines, pictures inside, so that it needs nothing else to be shown. */
import { base64 } from '../base64.ts';
import { type Lettering, textPath, textWidth } from '../lettering.ts';
import { short } from '../svg.ts';
import type { BoardPicture } from '../types.ts';
import type { Page, PageItem } from './display.ts';

/** The page's SVG, `px_per_mm` pixels to the millimetre. */
export function pageSvg(
  { width_mm, height_mm, paper, items }: Page,
  lettering: Lettering,
  px_per_mm: number,
): string {
  const [width, height] = [Math.round(width_mm * px_per_mm), Math.round(height_mm * px_per_mm)];
  const body = items.map((item, i) => drawn(item, lettering, i)).join('');
  return `<svg xmlns="http://www.w3.org/2000/svg" width="${width}" height="${height}" viewBox="0 0 ${short(width_mm)} ${short(height_mm)}"><rect width="100%" height="100%" fill="${paper}"/>${body}</svg>`;
}

const precise = (v: number): string => String(+v.toFixed(3));

function drawn(item: PageItem, lettering: Lettering, index: number): string {
  switch (item.kind) {
    case 'area':
      return `<rect x="${precise(item.x)}" y="${precise(item.y)}" width="${precise(item.width)}" height="${precise(item.height)}"${rounded(item.radius)} fill="${item.fill}"/>`;
    case 'outline':
      return `<rect x="${precise(item.x)}" y="${precise(item.y)}" width="${precise(item.width)}" height="${precise(item.height)}"${rounded(item.radius)} fill="none" stroke="${item.stroke}" stroke-width="${precise(item.line)}"/>`;
    case 'picture':
      return picture(item, index);
    case 'text': {
      const x =
        item.align === 'end' ? item.x - textWidth(lettering, item.text, item.size, item.weight) : item.x;
      return `<path fill="${item.fill}" d="${textPath(lettering, item.text, x, item.y, item.size, item.weight, 3)}"/>`;
    }
    case 'modules':
      return `<path fill="#000000" d="${modulePath(item.modules, item.x, item.y, item.side)}"/>`;
  }
}

function rounded(radius: number | undefined): string {
  return radius ? ` rx="${precise(radius)}"` : '';
}

/** Fills its box; what doesn't fit is cut off evenly on two sides. */
function picture(item: Extract<PageItem, { kind: 'picture' }>, index: number): string {
  const { x, y, width, height } = item;
  const clip = `c${index}`;
  return `<clipPath id="${clip}"><rect x="${precise(x)}" y="${precise(y)}" width="${precise(width)}" height="${precise(height)}"/></clipPath><image clip-path="url(#${clip})" x="${precise(x)}" y="${precise(y)}" width="${precise(width)}" height="${precise(height)}" preserveAspectRatio="xMidYMid slice" href="${pictureAddress(item.picture)}"/>`;
}

export function pictureAddress({ mime, bytes }: BoardPicture): string {
  return `data:${mime};base64,${base64(bytes)}`;
}

/** Dark modules as one path, runs along a row joined. */
export function modulePath(
  modules: readonly (readonly boolean[])[],
  x: number,
  y: number,
  side: number,
): string {
  const step = side / modules.length;
  let d = '';
  modules.forEach((row, j) => {
    for (let i = 0; i < row.length; i++) {
      if (!row[i]) continue;
      let end = i;
      while (row[end]) end++;
      d += `M${precise(x + i * step)} ${precise(y + j * step)}h${precise((end - i) * step)}v${precise(step)}h${precise((i - end) * step)}z`;
      i = end;
    }
  });
  return d;
}
