import { type Lettering, textPath, type Weight } from './lettering.ts';

/** Greys of the boards: equal red, green and blue, so that they tint no judgement of colour. */
export const GREY = {
  /** The surround colours are judged on, L* 60. */
  surround: '#919191',
  plate: '#ececec',
  ink: '#161616',
  soft: '#4d4d4d',
  line: '#ffffff',
  casing: '#000000',
} as const;

/** A number short enough for SVG. */
export function short(value: number): string {
  return String(+value.toFixed(2));
}

export function rectangle(
  x: number,
  y: number,
  width: number,
  height: number,
  fill: string,
  radius = 0,
): string {
  const corner = radius > 0 ? ` rx="${short(radius)}"` : '';
  return `<rect x="${short(x)}" y="${short(y)}" width="${short(width)}" height="${short(height)}"${corner} fill="${fill}"/>`;
}

export function lettered(
  lettering: Lettering,
  text: string,
  x: number,
  y: number,
  size: number,
  weight: Weight,
  fill: string = GREY.ink,
): string {
  return `<path fill="${fill}" d="${textPath(lettering, text, x, y, size, weight)}"/>`;
}

/** An outline that shows on any colour: a light line on a wider dark one. */
export function outline(points: readonly (readonly [number, number])[], width: number): string {
  const d = `M${points.map(([x, y]) => `${short(x)} ${short(y)}`).join('L')}Z`;
  const stroke = (colour: string, w: number, opacity: number): string =>
    `<path d="${d}" fill="none" stroke="${colour}" stroke-opacity="${opacity}" stroke-width="${short(w)}" stroke-linejoin="round"/>`;
  return stroke(GREY.casing, 2.2 * width, 0.45) + stroke(GREY.line, width, 1);
}

/** An SVG's text content or attribute, safe to embed. */
export function escaped(text: string): string {
  return text.replace(/[&<>"']/g, (c) => `&#${c.charCodeAt(0)};`);
}
