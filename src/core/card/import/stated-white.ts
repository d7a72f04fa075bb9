/** An illuminant as instruments write it: D50, D65, A, C, F11 … */
const ILLUMINANT = /\b(D50|D55|D65|D75|F\d{1,2}|A|C|E)\b/i;
const OBSERVER_2 = /(?:^|[^\d.])2(?:\.0)?[\s_-]*(?:°|deg)/i;
const OBSERVER_10 = /(?:^|[^\d.])10(?:\.0)?[\s_-]*(?:°|deg)/i;

export interface StatedWhite {
  readonly illuminant?: string;
  readonly observer?: '2' | '10';
}

/** Illuminant out of a value such as `D50` or `Illuminant=D65`. */
export function illuminantIn(value: string): string | undefined {
  return ILLUMINANT.exec(value)?.[1].toUpperCase();
}

/** Observer out of a value such as `2`, `10_Degree`, `2 degree` or `1964`. */
export function observerIn(value: string): '2' | '10' | undefined {
  if (OBSERVER_10.test(value) || /\b1964\b/.test(value) || /^\s*10\s*$/.test(value)) return '10';
  if (OBSERVER_2.test(value) || /\b1931\b/.test(value) || /^\s*2\s*$/.test(value)) return '2';
  return undefined;
}

/** What free text (a comment, a header) says of illuminant and observer, where it can't mean anything else. */
export function whiteInFreeText(text: string): StatedWhite {
  const daylight = /\b(D50|D55|D65|D75)\b/i.exec(text)?.[1].toUpperCase();
  const slash = /\b(?:D50|D55|D65|D75|A|C|E|F\d{1,2})\s*\/\s*(10|2)\b/i.exec(text)?.[1] as
    | '2'
    | '10'
    | undefined;
  const observer = slash ?? observerIn(text);
  return { ...(daylight ? { illuminant: daylight } : {}), ...(observer ? { observer } : {}) };
}

/** `D50/2` style name; what is not stated is as in `otherwise`. */
export function whiteName({ illuminant, observer }: StatedWhite, otherwise: string): string {
  const [light, eye] = otherwise.split('/');
  return `${illuminant ?? light}/${observer ?? eye}`;
}
