/**
 * What an edit did to a document, as changes addressed by the ids of things and not by their places in lists, so that
 * it can be done again on a document that another tab has changed meanwhile, and undone after later edits.
 */
import { type Draft, produce } from 'immer';

/** A step is a field's name, or `#key` of a thing in a list. */
export type Path = readonly string[];

export type Change =
  /** A new value; a thing new to its list comes after `after`, first when that is null. */
  | { readonly at: Path; readonly value: unknown; readonly after?: string | null }
  | { readonly at: Path; readonly remove: true }
  | { readonly at: Path; readonly order: readonly string[] };

type Fields = Record<string, unknown>;

const isFields = (value: unknown): value is Fields =>
  typeof value === 'object' && value !== null && !Array.isArray(value);

/** Lists of things and of words are told apart by key; lists of numbers and of points are values of their own. */
const isKeyed = (list: readonly unknown[]): boolean =>
  list.every((item) => isFields(item) || typeof item === 'string');

/** What a thing is called in its list: by id; a place by its photo; anything else by what it is. */
function baseKey(item: unknown): string {
  if (!isFields(item)) return `#${String(item)}`;
  if (typeof item.id === 'string') return `#${item.id}`;
  if (typeof item.photo === 'string' && item.corners_px && !item.lab) return `#in ${item.photo}`;
  return `#${JSON.stringify(item)}`;
}

function keysOf(list: readonly unknown[]): string[] {
  const times = new Map<string, number>();
  return list.map((item) => {
    const key = baseKey(item);
    const n = (times.get(key) ?? 0) + 1;
    times.set(key, n);
    return n === 1 ? key : `${key} ×${n}`;
  });
}

/** Everything that differs between two states of a document. What they share by reference costs nothing. */
export function changesBetween(before: unknown, after: unknown, at: Path = []): Change[] {
  if (Object.is(before, after)) return [];
  if (Array.isArray(before) && Array.isArray(after) && isKeyed(before) && isKeyed(after))
    return listChanges(before, after, at);
  if (isFields(before) && isFields(after)) return fieldChanges(before, after, at);
  return JSON.stringify(before) === JSON.stringify(after) ? [] : [{ at, value: after }];
}

function fieldChanges(before: Fields, after: Fields, at: Path): Change[] {
  const fields = new Set([...Object.keys(before), ...Object.keys(after)]);
  return [...fields].flatMap((field): Change[] => {
    const place = [...at, field];
    if (after[field] === undefined) return before[field] === undefined ? [] : [{ at: place, remove: true }];
    return changesBetween(before[field], after[field], place);
  });
}

function listChanges(before: readonly unknown[], after: readonly unknown[], at: Path): Change[] {
  const [had, has] = [keysOf(before), keysOf(after)];
  const [hadKeys, hasKeys] = [new Map(had.map((k, i) => [k, i])), new Set(has)];
  const changes: Change[] = had
    .filter((key) => !hasKeys.has(key))
    .map((key) => ({ at: [...at, key], remove: true }));
  has.forEach((key, i) => {
    const was = hadKeys.get(key);
    if (was === undefined)
      changes.push({ at: [...at, key], value: after[i], after: i === 0 ? null : has[i - 1] });
    else changes.push(...changesBetween(before[was], after[i], [...at, key]));
  });
  const kept = had.filter((k) => hasKeys.has(k));
  if (kept.join('\n') !== has.filter((k) => hadKeys.has(k)).join('\n')) changes.push({ at, order: has });
  return changes;
}

/** Makes changes on a document. One whose thing is gone meanwhile is passed over: there is nothing left to change. */
export function applyChanges<T extends object>(document: T, changes: readonly Change[]): T {
  return produce(document, (draft: Draft<T>) => {
    for (const change of changes) applyChange(draft, change);
  });
}

function applyChange(draft: unknown, change: Change): void {
  const parent = change.at.slice(0, -1).reduce<unknown>(step, draft);
  const last = change.at.at(-1);
  if (last === undefined || parent === undefined) return;
  if ('order' in change) {
    const list = step(parent, last);
    if (Array.isArray(list)) reorder(list, change.order);
  } else if (Array.isArray(parent)) changeItem(parent, last, change);
  else if (isFields(parent)) {
    if ('remove' in change) delete parent[last];
    else parent[last] = change.value;
  }
}

function step(value: unknown, name: string): unknown {
  if (Array.isArray(value)) return value[keysOf(value).indexOf(name)];
  return isFields(value) ? value[name] : undefined;
}

function changeItem(list: unknown[], key: string, change: Exclude<Change, { order: unknown }>): void {
  const at = keysOf(list).indexOf(key);
  if ('remove' in change) {
    if (at >= 0) list.splice(at, 1);
  } else if (change.after === undefined) {
    if (at >= 0) list[at] = change.value;
  } else if (at < 0) insertAfter(list, change.after, change.value);
  // two tabs gave the same id to two things: both are kept
  else if (JSON.stringify(list[at]) !== JSON.stringify(change.value))
    insertAfter(list, key, renamed(change.value, list));
}

function insertAfter(list: unknown[], after: string | null, value: unknown): void {
  const before = after === null ? -1 : keysOf(list).indexOf(after);
  list.splice(after !== null && before < 0 ? list.length : before + 1, 0, value);
}

function renamed(value: unknown, list: readonly unknown[]): unknown {
  if (!isFields(value) || typeof value.id !== 'string') return value;
  const taken = new Set(list.map((item) => (isFields(item) ? item.id : undefined)));
  let n = 2;
  while (taken.has(`${value.id}-${n}`)) n++;
  return { ...value, id: `${value.id}-${n}` };
}

function reorder(list: unknown[], order: readonly string[]): void {
  const keys = keysOf(list);
  const rank = new Map(order.map((key, i) => [key, i]));
  const items = list.map((item, i) => ({ item, rank: rank.get(keys[i]) ?? order.length + i }));
  items.sort((a, b) => a.rank - b.rank);
  for (const [i, { item }] of items.entries()) list[i] = item;
}
