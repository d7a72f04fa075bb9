import type { z } from 'zod';

/** A schema complaint: the place in the document (`panels[2].measured[0].lab`) and what is wrong there, in words. */
export interface SchemaIssue {
  readonly at: string;
  readonly what: string;
}

type Issue = z.core.$ZodIssue;
type Path = readonly PropertyKey[];

/** The first complaint of a schema about a document, with the branch of a union that the document comes closest to. */
export function schemaIssue(issues: readonly Issue[]): SchemaIssue {
  return describe(issues[0], []);
}

function describe(issue: Issue, parent: Path): SchemaIssue {
  const path = [...parent, ...issue.path];
  if (issue.code === 'invalid_union' && issue.errors.length > 0) {
    // the branch that got furthest into the document is the one that was meant
    const [closest] = [...issue.errors].sort((a, b) => depth(b) - depth(a) || a.length - b.length);
    return describe(closest[0], path);
  }
  return { at: pathText(path), what: words(issue) };
}

function depth(branch: readonly Issue[]): number {
  return Math.max(...branch.map((issue) => issue.path.length + (isMissing(issue) ? 0 : 1)));
}

function isMissing(issue: Issue): boolean {
  return issue.code === 'invalid_type' && issue.message.endsWith('received undefined');
}

function pathText(path: Path): string {
  const text = path
    .map((key) => (typeof key === 'number' ? `[${key}]` : `.${String(key)}`))
    .join('')
    .replace(/^\./, '');
  return text || 'the document';
}

function words(issue: Issue): string {
  if (isMissing(issue)) return 'is missing';
  switch (issue.code) {
    case 'invalid_type':
      return `must be ${article(issue.expected)}`;
    case 'too_small':
      if (issue.origin === 'array') return `must have at least ${values(issue.minimum)}`;
      return issue.origin === 'string'
        ? 'is too short'
        : `must be ${issue.inclusive === false ? 'more than' : 'at least'} ${issue.minimum}`;
    case 'too_big':
      if (issue.origin === 'array') return `must have at most ${values(issue.maximum)}`;
      return issue.origin === 'string' ? 'is too long' : `must be at most ${issue.maximum}`;
    case 'unrecognized_keys':
      return `has a field that is unknown here, ${issue.keys.map((key) => JSON.stringify(key)).join(', ')}`;
    case 'invalid_value':
      return `must be ${issue.values.map((v) => JSON.stringify(v)).join(' or ')}`;
    case 'invalid_key':
      return 'has an empty or overlong id';
    default:
      return issue.message;
  }
}

function values(count: number | bigint): string {
  return count === 1 ? 'one entry' : `${count} entries`;
}

function article(type: string): string {
  const names: Readonly<Record<string, string>> = {
    tuple: 'a list of the right length',
    array: 'a list',
    object: 'an object',
    record: 'an object',
    number: 'a number',
    int: 'a whole number',
    string: 'a text',
    boolean: 'true or false',
  };
  return names[type] ?? type;
}
