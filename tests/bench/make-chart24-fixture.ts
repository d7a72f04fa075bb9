/**
 * Writes `tests/fixtures/chart24-labs.json`: of the classic 24-patch chart, the Lab that is published and the Lab that
 * this project computes from the spectra that are published.
 *
 *   npx tsx tests/bench/make-chart24-fixture.ts SPECTRA BEFORE SINCE
 *
 * SPECTRA is a table of reflectances (`start_nm`, `step_nm`, `patches` in the chart's order); BEFORE and SINCE are card
 * definitions with the Lab published for charts made before November 2014 and since, in the same order.
 */
import { readFileSync, writeFileSync } from 'node:fs';
import { parseCard } from '../../src/core/card/definition.ts';
import { computedLabs, type SpectraTable } from './chart24/labs.ts';

const [spectraFile, ...cardFiles] = process.argv.slice(2);
const spectra = JSON.parse(readFileSync(spectraFile, 'utf8')) as SpectraTable;
const [before, since] = cardFiles.map((file) => parseCard(JSON.parse(readFileSync(file, 'utf8')), file));
const rounded = (lab: readonly number[]): number[] => lab.map((v) => +v.toFixed(4));

const fixture = {
  about: 'The classic 24-patch colour chart, CIELAB under D50, 2° observer',
  source:
    'published_before and published_since (November 2014): Lab as tabulated in colour-science/colour (BSD-3-Clause); computed: by this project from the reflectances of Ohta 1997 as tabulated there (BSD-3-Clause)',
  white: before.white,
  patches: computedLabs(spectra).map((lab, i) => ({
    id: before.patches[i].id,
    published_before: before.patches[i].lab,
    published_since: since.patches[i].lab,
    computed: rounded(lab),
  })),
};
const lines = fixture.patches.map((p) => `    ${JSON.stringify(p)}`).join(',\n');
const text = JSON.stringify({ ...fixture, patches: [] }, null, 2).replace('[]', `[\n${lines}\n  ]`);
writeFileSync(new URL('../fixtures/chart24-labs.json', import.meta.url), `${text}\n`);
