import { SprayoutError } from '../errors.ts';

/** Parses JSON text. Throws `json-broken` with line and column of the first character that does not fit. */
export function parseJson(text: string, where: string): unknown {
  const json = text.charCodeAt(0) === 0xfeff ? text.slice(1) : text;
  try {
    return JSON.parse(json);
  } catch {
    const { line, column, found } = positionOf(json, firstMisfit(json));
    throw new SprayoutError(
      'json-broken',
      `${where} is not valid JSON: line ${line}, column ${column}, ${found}.`,
      'Look there for a missing comma, quote or bracket, or a comma too many before a closing bracket.',
    );
  }
}

const TOKEN =
  /[ \t\n\r]*(?:([{}[\],:])|("(?:[^"\\\p{Cc}]|\\(?:["\\/bfnrt]|u[\da-fA-F]{4}))*")|(-?(?:0|[1-9]\d*)(?:\.\d+)?(?:[eE][+-]?\d+)?|true|false|null))/uy;

const SPACE = /[ \t\n\r]*/y;

/** What may stand at a place of the text: a value, a key, a colon, or a comma or closing bracket. */
type Expected = 'value' | 'first value' | 'key' | 'first key' | 'colon' | 'more' | 'end';

/** Offset of the first token that no JSON text could have there; the text's length when it ends too soon. */
function firstMisfit(text: string): number {
  const open: ('{' | '[')[] = [];
  let expected: Expected = 'value';
  let at = 0;
  const closed = (): Expected => (open.length > 0 ? 'more' : 'end');
  while (at < text.length) {
    TOKEN.lastIndex = at;
    const token = TOKEN.exec(text);
    if (!token) break;
    const [whole, mark, string] = token;
    const next: Expected | undefined = mark
      ? afterMark(mark, expected, open, closed)
      : afterScalar(string !== undefined, expected, closed);
    if (!next) break;
    expected = next;
    at += whole.length;
  }
  SPACE.lastIndex = at;
  SPACE.exec(text);
  return SPACE.lastIndex;
}

function afterScalar(isString: boolean, expected: Expected, closed: () => Expected): Expected | undefined {
  if (expected === 'value' || expected === 'first value') return closed();
  if ((expected === 'key' || expected === 'first key') && isString) return 'colon';
  return undefined;
}

function afterMark(
  mark: string,
  expected: Expected,
  open: ('{' | '[')[],
  closed: () => Expected,
): Expected | undefined {
  const inside = open.at(-1);
  switch (mark) {
    case '{':
    case '[':
      if (expected !== 'value' && expected !== 'first value') return undefined;
      open.push(mark);
      return mark === '{' ? 'first key' : 'first value';
    case '}':
      if (inside !== '{' || (expected !== 'more' && expected !== 'first key')) return undefined;
      open.pop();
      return closed();
    case ']':
      if (inside !== '[' || (expected !== 'more' && expected !== 'first value')) return undefined;
      open.pop();
      return closed();
    case ':':
      return expected === 'colon' ? 'value' : undefined;
    default:
      if (expected !== 'more') return undefined;
      return inside === '{' ? 'key' : 'value';
  }
}

function positionOf(text: string, offset: number): { line: number; column: number; found: string } {
  const before = text.slice(0, offset);
  const line = before.split('\n').length;
  const column = offset - (before.lastIndexOf('\n') + 1) + 1;
  const found =
    offset >= text.length
      ? 'it ends too soon'
      : `unexpected ${JSON.stringify([...text.slice(offset, offset + 2)][0])}`;
  return { line, column, found };
}
