/**
 * From spectra to colour, on the classic 24-patch chart: the Lab published for it against the Lab computed from its
 * reflectances, which others measured (Ohta 1997); both tabulated in colour-science/colour (BSD-3-Clause).
 */
import { existsSync, readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { deltaE2000, type Lab } from '../../src/core/color/index.ts';
import { computedLabs, type SpectraTable } from '../bench/chart24/labs.ts';

interface Fixture {
  readonly white: string;
  readonly patches: readonly {
    readonly id: string;
    readonly published_before: Lab;
    readonly published_since: Lab;
    readonly computed: Lab;
  }[];
}

const fixture = JSON.parse(
  readFileSync(new URL('../fixtures/chart24-labs.json', import.meta.url), 'utf8'),
) as Fixture;
const spectraFile = new URL('../../../shared/data/chart24.json', import.meta.url);

describe('the classic 24-patch chart', () => {
  const apart = (table: 'published_before' | 'published_since'): { mean: number; max: number } => {
    const errors = fixture.patches.map((p) => deltaE2000(p[table], p.computed));
    return { mean: errors.reduce((sum, e) => sum + e, 0) / errors.length, max: Math.max(...errors) };
  };

  it('is stated and computed for D50 and the 2° observer, in 18 colours and 6 greys', () => {
    expect(fixture.white).toBe('D50/2');
    expect(fixture.patches).toHaveLength(24);
    expect(fixture.patches.filter(({ computed: [, a, b] }) => Math.hypot(a, b) < 3)).toHaveLength(6);
  });

  it('has, computed from its spectra, the colours published for it before November 2014: 1 ΔE2000 apart', () => {
    const { mean, max } = apart('published_before');
    expect(mean).toBeGreaterThan(0.88);
    expect(mean).toBeLessThan(1.08);
    expect(max).toBeLessThan(2);
  });

  it('was made in other batches since: 1.24 ΔE2000 apart on average, no colour above 2.5', () => {
    const { mean, max } = apart('published_since');
    expect(mean).toBeGreaterThan(1.14);
    expect(mean).toBeLessThan(1.34);
    expect(max).toBeLessThan(2.5);
  });

  it.skipIf(!existsSync(spectraFile))(
    'gives the same colours from the published spectra, where they are at hand',
    () => {
      const labs = computedLabs(JSON.parse(readFileSync(spectraFile, 'utf8')) as SpectraTable);
      labs.forEach((lab, i) => {
        lab.forEach((v, a) => {
          expect(Math.abs(v - fixture.patches[i].computed[a])).toBeLessThan(1e-3);
        });
      });
    },
  );
});
