import { readdirSync, readFileSync } from 'node:fs';
import { dirname, join, relative, resolve } from 'node:path';
import { fileURLToPath } from 'node:url';
import { describe, expect, it } from 'vitest';

const ROOT = fileURLToPath(new URL('..', import.meta.url));
const CORE = join(ROOT, 'src/core');
const APP = join(ROOT, 'src/app');

const importsOf = (text: string): string[] =>
  [...text.matchAll(/(?:from|import)\s*\(?\s*'([^']+)'/g)].map(([, to]) => to);

/** The stages from left to right; a stage imports itself and what stands left of it. The first ones serve all. */
const STAGES = [
  ['math'],
  ['color'],
  ['photo', 'optics'],
  ['card'],
  ['job'],
  ['correction', 'panel'],
  ['measure'],
  ['compare'],
  ['film'],
  ['lights', 'mix'],
  ['advise'],
  ['study'],
  ['board'],
];

interface Import {
  readonly from: string;
  readonly to: string;
}

const files = readdirSync(CORE, { recursive: true, encoding: 'utf8' }).filter((file) => file.endsWith('.ts'));
const imports: readonly Import[] = files.flatMap((file) =>
  importsOf(readFileSync(join(CORE, file), 'utf8')).map((to) => ({
    from: file,
    to: to.startsWith('.') ? relative(CORE, resolve(CORE, dirname(file), to)) : to,
  })),
);

function stageOf(file: string): string | undefined {
  return file.includes('/') && !file.startsWith('..') ? file.split('/')[0] : undefined;
}

function placeOf(stage: string): number {
  return STAGES.findIndex((together) => together.includes(stage));
}

describe('the house', () => {
  it('knows the place of every stage', () => {
    const stages = new Set(files.map(stageOf).filter((stage) => stage !== undefined));
    expect([...stages].filter((stage) => placeOf(stage) < 0)).toEqual([]);
    expect(imports.length).toBeGreaterThan(files.length);
  });

  it('lets a stage import only itself and stages on its left', () => {
    const wrong = imports.filter(({ from, to }) => {
      const [a, b] = [stageOf(from), stageOf(to)];
      return a !== undefined && b !== undefined && a !== b && placeOf(b) > placeOf(a);
    });
    expect(wrong.map(({ from, to }) => `${from} imports ${to}`)).toEqual([]);
  });

  it('keeps the core pure: no Node, no decoder, no clock, no unseeded randomness', () => {
    const impure = imports.filter(({ to }) => /^(node:|sharp$|react)/.test(to));
    expect(impure.map(({ from, to }) => `${from} imports ${to}`)).toEqual([]);
    const clocked = files.filter((file) =>
      /\b(Math\.random|Date\.now|new Date\(\)|performance\.now|process\.|setTimeout)\b/.test(
        readFileSync(join(CORE, file), 'utf8').replace(/^\s*(\/\/|\*|\/\*).*$/gm, ''),
      ),
    );
    expect(clocked).toEqual([]);
  });

  it('has no circles', () => {
    const next = new Map<string, string[]>();
    for (const { from, to } of imports) next.set(from, [...(next.get(from) ?? []), to]);
    const done = new Set<string>();
    const circleFrom = (file: string, way: readonly string[]): readonly string[] | undefined => {
      if (way.includes(file)) return [...way.slice(way.indexOf(file)), file];
      if (done.has(file)) return undefined;
      for (const to of next.get(file) ?? []) {
        const circle = circleFrom(to, [...way, file]);
        if (circle) return circle;
      }
      done.add(file);
      return undefined;
    };
    for (const file of files) expect(circleFrom(file, [])).toBeUndefined();
  });

  it('lets the app import the core, shared, trained files, compiled code and packages only, and the core nothing of the app', () => {
    const app = readdirSync(APP, { recursive: true, encoding: 'utf8' }).filter((file) =>
      /\.tsx?$/.test(file),
    );
    const wrong = app.flatMap((file) =>
      importsOf(readFileSync(join(APP, file), 'utf8')).flatMap((to) => {
        if (!to.startsWith('.')) return to.startsWith('node:') ? [`${file} imports ${to}`] : [];
        const place = relative(ROOT, resolve(APP, dirname(file), to));
        return /^((src\/app|src\/core|shared|calibration|compiled)\/|package\.json$)/.test(place)
          ? []
          : [`${file} imports ${place}`];
      }),
    );
    expect(app.length).toBeGreaterThan(0);
    expect(wrong).toEqual([]);
    expect(imports.filter(({ to }) => to.startsWith('../app'))).toEqual([]);
  });
});
