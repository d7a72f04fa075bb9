import type { Random } from '../../src/core/math/random.ts';

/** Seeded ways to spoil bytes and JSON documents. */

export function pick<T>(random: Random, from: readonly T[]): T {
  return from[Math.floor(random.uniform() * from.length)];
}

function joined(head: Uint8Array, tail: Uint8Array): Uint8Array<ArrayBuffer> {
  const out = new Uint8Array(head.length + tail.length);
  out.set(head);
  out.set(tail, head.length);
  return out;
}

/** Flips, cuts, repeats or overwrites some bytes; the head of a file, where its structure lies, more often than the rest. */
export function spoilBytes(bytes: Uint8Array, random: Random): Uint8Array {
  let out = bytes.slice();
  const times = 1 + Math.floor(random.uniform() * 4);
  for (let t = 0; t < times && out.length > 0; t++) {
    const reach = random.uniform() < 0.5 ? Math.min(out.length, 700) : out.length;
    const at = Math.floor(random.uniform() * reach);
    switch (Math.floor(random.uniform() * 6)) {
      case 0:
        out[at] ^= 1 << Math.floor(random.uniform() * 8);
        break;
      case 1:
        out = out.slice(0, at);
        break;
      case 2:
        out.fill(pick(random, [0, 0xff]), at, at + Math.floor(random.uniform() * 64));
        break;
      case 3:
        out = joined(out.subarray(0, at), out.subarray(Math.max(0, at - 40)));
        break;
      case 4:
        out = joined(out.subarray(0, at), out.subarray(at + 1 + Math.floor(random.uniform() * 20)));
        break;
      default:
        for (let i = at; i < Math.min(out.length, at + 16); i++) out[i] = Math.floor(random.uniform() * 256);
    }
  }
  return out;
}

const ODD_VALUES: readonly unknown[] = [
  null,
  true,
  '',
  'x',
  '\u0000',
  '../../etc/passwd',
  'a'.repeat(5000),
  0,
  -1,
  0.5,
  1e-300,
  1e300,
  -1e9,
  [],
  {},
  [[]],
  [1, 2, 3],
  [
    [0, 0],
    [1, 0],
    [1, 1],
    [0, 1],
  ],
  { __proto__: null, id: 'x' },
];

/** A copy of a JSON document with a few entries replaced, removed, doubled or swapped. */
export function spoilJson(document: unknown, random: Random): unknown {
  const copy = structuredClone(document);
  const times = 1 + Math.floor(random.uniform() * 3);
  for (let t = 0; t < times; t++) spoilOnce(copy, random);
  return copy;
}

type Holder = Record<string, unknown> | unknown[];

function spoilOnce(document: unknown, random: Random): void {
  const holders: Holder[] = [];
  const visit = (value: unknown): void => {
    if (typeof value !== 'object' || value === null) return;
    holders.push(value as Holder);
    Object.values(value).forEach(visit);
  };
  visit(document);
  if (holders.length === 0) return;
  const holder = pick(random, holders) as Record<string, unknown>;
  const keys = Object.keys(holder);
  if (keys.length === 0) return;
  const key = pick(random, keys);
  switch (Math.floor(random.uniform() * 5)) {
    case 0:
      if (Array.isArray(holder)) holder.splice(Number(key), 1);
      else delete holder[key];
      break;
    case 1:
      if (Array.isArray(holder)) holder.push(structuredClone(holder[Number(key)]));
      else holder[`${key}2`] = holder[key];
      break;
    case 2: {
      const other = pick(random, keys);
      [holder[key], holder[other]] = [holder[other], holder[key]];
      break;
    }
    case 3:
      if (typeof holder[key] === 'number') {
        holder[key] = (holder[key] as number) * pick(random, [-1, 0, 1e-6, 1e6, 1.5]);
        break;
      }
      holder[key] = pick(random, ODD_VALUES);
      break;
    default:
      holder[key] = pick(random, ODD_VALUES);
  }
}

/** Text of a document, spoilt as a document or as text. */
export function spoilJsonText(document: unknown, random: Random): string {
  if (random.uniform() < 0.75) {
    const text = JSON.stringify(spoilJson(document, random));
    // numbers that JSON can write but that are no finite doubles
    return random.uniform() < 0.1 ? text.replace(/\d+(\.\d+)?/, '1e999') : text;
  }
  return new TextDecoder().decode(spoilBytes(new TextEncoder().encode(JSON.stringify(document)), random));
}
