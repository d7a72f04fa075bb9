/**
 * The order in which the characters of one line are shown: the Unicode bidirectional algorithm (UAX #9) without explicit
 * embeddings and overrides, which board texts do not hold, and without the pairing of brackets (N0). A stretch
 * between FIRST STRONG ISOLATE and POP DIRECTIONAL ISOLATE is laid out by itself.
 */

/** Opens and closes a stretch whose direction is its own: a name inside a sentence. */
const ISOLATE = '\u2068';
const END_ISOLATE = '\u2069';

/** A text that keeps to itself inside a sentence. */
export function isolated(text: string): string {
  return `${ISOLATE}${text}${END_ISOLATE}`;
}

/** Without isolating marks. */
export function withoutIsolates(text: string): string {
  return text.replace(/[\u2068\u2069]/g, '');
}

type BidiClass = 'L' | 'R' | 'AL' | 'EN' | 'AN' | 'ES' | 'ET' | 'CS' | 'NSM' | 'ON';

const RIGHT = /[\p{Script=Hebrew}\p{Script=Nko}\p{Script=Samaritan}\p{Script=Mandaic}]/u;
const ARABIC = /[\p{Script=Arabic}\p{Script=Syriac}\p{Script=Thaana}]/u;

function classOf(c: string): BidiClass {
  if (/[0-9\u06f0-\u06f9]/.test(c)) return 'EN';
  if (/[\u0660-\u0669\u066b\u066c]/.test(c)) return 'AN';
  if (/[+\-\u2212]/.test(c)) return 'ES';
  if (/[#$%°±\u00a2-\u00a5\u2030-\u2034\u20a0-\u20cf\u066a]/.test(c)) return 'ET';
  if (/[,./:\u00a0\u060c]/.test(c)) return 'CS';
  if (/\p{Mn}|\p{Me}/u.test(c)) return 'NSM';
  if (/\p{L}|\p{N}|\p{Mc}/u.test(c)) return ARABIC.test(c) ? 'AL' : RIGHT.test(c) ? 'R' : 'L';
  return 'ON';
}

const MIRRORED: Readonly<Record<string, string>> = {
  '(': ')',
  ')': '(',
  '[': ']',
  ']': '[',
  '{': '}',
  '}': '{',
  '<': '>',
  '>': '<',
  '«': '»',
  '»': '«',
  '‹': '›',
  '›': '‹',
};

/** A character, or an isolated stretch already laid out. */
interface Unit {
  readonly bidi: BidiClass;
  readonly characters: readonly string[];
}

/** True when any character of the text runs from right to left. */
export function hasRightToLeft(text: string): boolean {
  return RIGHT.test(text) || ARABIC.test(text);
}

/** True when the first character with a direction runs from right to left (rules P2 and P3). */
export function isRightToLeft(text: string): boolean {
  let depth = 0;
  for (const c of text) {
    if (c === ISOLATE) depth++;
    else if (c === END_ISOLATE) depth--;
    else if (depth === 0) {
      const bidi = classOf(c);
      if (bidi === 'L') return false;
      if (bidi === 'R' || bidi === 'AL') return true;
    }
  }
  return false;
}

/** The characters of a line from left to right, brackets mirrored where the line runs from right to left. */
export function visualOrder(text: string): string[] {
  if (!hasRightToLeft(text)) return [...withoutIsolates(text)];
  return ordered([...text], isRightToLeft(text) ? 1 : 0);
}

function ordered(characters: readonly string[], base: 0 | 1): string[] {
  const units = unitsOf(characters);
  const levels = levelsOf(
    units.map((u) => u.bidi),
    base,
  );
  const visual = reversedByLevel(
    units.map((unit, i) => ({ unit, level: levels[i] })),
    Math.max(0, ...levels),
  );
  return visual.flatMap(({ unit, level }) =>
    level % 2 === 1 && unit.characters.length === 1
      ? [MIRRORED[unit.characters[0]] ?? unit.characters[0]]
      : unit.characters,
  );
}

function unitsOf(characters: readonly string[]): Unit[] {
  const units: Unit[] = [];
  for (let i = 0; i < characters.length; i++) {
    const c = characters[i];
    if (c === END_ISOLATE) continue;
    if (c !== ISOLATE) {
      units.push({ bidi: classOf(c), characters: [c] });
      continue;
    }
    let depth = 1;
    let end = i + 1;
    for (; end < characters.length && depth > 0; end++)
      depth += characters[end] === ISOLATE ? 1 : characters[end] === END_ISOLATE ? -1 : 0;
    const inner = characters.slice(i + 1, depth === 0 ? end - 1 : end);
    units.push({ bidi: 'ON', characters: ordered(inner, isRightToLeft(inner.join('')) ? 1 : 0) });
    i = end - 1;
  }
  return units;
}

/** Rules W1 to W7, N1, N2, I1 and I2 for one line of one level. */
function levelsOf(classes: readonly BidiClass[], base: 0 | 1): number[] {
  const t = [...classes];
  const side: BidiClass = base === 1 ? 'R' : 'L';
  let strong: BidiClass = side;
  for (let i = 0; i < t.length; i++) {
    if (t[i] === 'NSM') t[i] = i === 0 ? side : t[i - 1];
    if (t[i] === 'L' || t[i] === 'R' || t[i] === 'AL') strong = t[i];
    else if (t[i] === 'EN' && strong === 'AL') t[i] = 'AN';
  }
  for (let i = 0; i < t.length; i++) if (t[i] === 'AL') t[i] = 'R';
  for (let i = 1; i + 1 < t.length; i++) {
    if ((t[i] === 'ES' || t[i] === 'CS') && t[i - 1] === 'EN' && t[i + 1] === 'EN') t[i] = 'EN';
    else if (t[i] === 'CS' && t[i - 1] === 'AN' && t[i + 1] === 'AN') t[i] = 'AN';
  }
  for (let i = 0; i < t.length; i++) {
    if (t[i] !== 'ET') continue;
    let end = i;
    while (t[end] === 'ET') end++;
    if (t[i - 1] === 'EN' || t[end] === 'EN') t.fill('EN', i, end);
    i = end - 1;
  }
  strong = side;
  for (let i = 0; i < t.length; i++) {
    if (t[i] === 'ES' || t[i] === 'ET' || t[i] === 'CS') t[i] = 'ON';
    if (t[i] === 'L' || t[i] === 'R') strong = t[i];
    else if (t[i] === 'EN' && strong === 'L') t[i] = 'L';
  }
  const sideOf = (k: BidiClass | undefined): BidiClass =>
    k === undefined ? side : k === 'EN' || k === 'AN' ? 'R' : k;
  for (let i = 0; i < t.length; i++) {
    if (t[i] !== 'ON') continue;
    let end = i;
    while (t[end] === 'ON') end++;
    const [before, after] = [sideOf(t[i - 1]), sideOf(t[end])];
    t.fill(before === after ? before : side, i, end);
    i = end - 1;
  }
  return t.map((k) => {
    if (base === 0) return k === 'R' ? 1 : k === 'L' ? 0 : 2;
    return k === 'R' ? 1 : 2;
  });
}

/** Rule L2: from the highest level down to 1, every run at that level or above is turned round. */
function reversedByLevel<T extends { readonly level: number }>(units: readonly T[], highest: number): T[] {
  let line = [...units];
  for (let level = highest; level >= 1; level--) {
    const next: T[] = [];
    for (let i = 0; i < line.length; i++) {
      if (line[i].level < level) {
        next.push(line[i]);
        continue;
      }
      let end = i;
      while (end < line.length && line[end].level >= level) end++;
      next.push(...line.slice(i, end).reverse());
      i = end - 1;
    }
    line = next;
  }
  return line;
}
