import { basename, extname } from 'node:path';
import { drawCardPdf, PAPERS, type Paper } from '../../core/card/draw/index.ts';
import { importReadings, readingsWarnings } from '../../core/card/import/index.ts';
import { definitionText } from '../../core/card/make-definition.ts';
import { isOwnLayout, OWN_CARD, OWN_STRIPS } from '../../core/card/own.ts';
import { labOfPatch } from '../../core/card/patch-colour.ts';
import type { CardDefinition } from '../../core/card/types.ts';
import { deltaE2000 } from '../../core/color/index.ts';
import { SprayoutError } from '../../core/errors.ts';
import { readCard } from '../../node/read-card.ts';
import { readReadings } from '../../node/read-readings.ts';
import { writeWholeFile } from '../../node/write-file.ts';
import { type Answer, defineCommand } from '../command.ts';
import { cornersOf } from '../corners.ts';

const help = `
Usage: sprayout card --out FILE.pdf [--paper a4|letter] [--card FILE] [--json]
       sprayout card --measured FILE --out FILE.card.json [--card FILE] [--json]
       sprayout card --adopt PHOTO --card CHARTFILE [--card-corners "x,y x,y x,y x,y"]
                     --out FILE.card.json [--json]

Draws the card to print, with two grey strips to lie beyond the panels. Or makes a card file with the
colours that your own print really has: from the readings of an instrument, or, second best, from one
photo that shows the printed card beside a chart whose colours are known.

  --out FILE           what to write
  --paper a4|letter    the sheet; a4 when left out
  --card FILE          draw this card, or: these are its readings; without it, the project's own card.
                       With --adopt: the chart whose colours are known
  --measured FILE      readings as CGATS text, CSV or CxF3, spectra or Lab; the names of the patches
                       stand on the printed sheet
  --adopt PHOTO        a photo of the printed card beside that chart, evenly lit
  --card-corners "…"   corners of the chart in pixels, top left first, clockwise; for charts
                       without markers
  --json               one JSON document
`;

export const command = defineCommand({
  help,
  options: {
    out: { type: 'string' },
    paper: { type: 'string' },
    card: { type: 'string' },
    measured: { type: 'string' },
    adopt: { type: 'string' },
    'card-corners': { type: 'string' },
  },
  async run({ values, positionals, path, tell }) {
    if (positionals.length > 0) throw usage(`sprayout card takes no ${JSON.stringify(positionals[0])}.`);
    if (values.measured !== undefined && values.adopt !== undefined)
      throw usage('--measured and --adopt do not go together.');
    if (values['card-corners'] !== undefined && values.adopt === undefined)
      throw usage('--card-corners goes with --adopt.');
    const makesCardFile = values.measured !== undefined || values.adopt !== undefined;
    const out = outputOf(values.out, makesCardFile ? '.json' : '.pdf');
    const target = { written: out, path: path(out) };
    if (!makesCardFile) {
      const card = values.card === undefined ? OWN_CARD : await readCard(path(values.card));
      return drawn(card, paperOf(values.paper), target);
    }
    if (values.paper !== undefined) throw usage('--paper is for drawing the card.');
    if (values.measured !== undefined) {
      const base = values.card === undefined ? OWN_CARD : await readCard(path(values.card));
      const readings = await readReadings(path(values.measured));
      const card = importReadings(readings, basename(values.measured), base);
      for (const { message } of readingsWarnings(readings)) tell(`warning: ${message}`);
      return written(card, base, target);
    }
    if (values.card === undefined) throw usage('--adopt needs --card, the chart whose colours are known.');
    const corners = values['card-corners'];
    const chart = await readCard(path(values.card));
    if (chart.source === 'nominal')
      tell(`warning: ${chart.name} is nominal; a chart that an instrument has read gives truer colours`);
    const { adoptFromPhoto } = await import('../adopt-card.ts');
    tell(`reading ${values.adopt}`);
    const adopted = await adoptFromPhoto(
      path(values.adopt as string),
      chart,
      corners === undefined ? undefined : cornersOf(corners),
    );
    for (const { message } of adopted.warnings) tell(`warning: ${message}`);
    tell(`the chart itself was read within ${adopted.check.mean_de00.toFixed(2)} ΔE2000 on average`);
    return written(adopted.card, OWN_CARD, target);
  },
});

/** A file to write: as the caller wrote it, and in full. */
interface Target {
  readonly written: string;
  readonly path: string;
}

function usage(message: string): SprayoutError {
  return new SprayoutError('usage', message, 'See sprayout card --help.');
}

function outputOf(out: string | undefined, ending: '.pdf' | '.json'): string {
  if (out === undefined || out === '') throw usage(`sprayout card needs --out FILE${ending}.`);
  if (extname(out).toLowerCase() === ending) return out;
  throw usage(`--out ${JSON.stringify(out)} must end in ${ending}: that is what is written.`);
}

function paperOf(paper = 'a4'): Paper {
  const known = PAPERS.find((p) => p === paper.toLowerCase());
  if (known) return known;
  throw usage(`--paper ${JSON.stringify(paper)} is unknown; ${PAPERS.join(' or ')} it can be.`);
}

async function drawn(card: CardDefinition, paper: Paper, { written, path }: Target): Promise<Answer> {
  const strips = isOwnLayout(card) ? OWN_STRIPS : [];
  await writeWholeFile(path, await drawCardPdf([card, ...strips], { paper }));
  const sheet = paper === 'a4' ? 'A4' : 'letter';
  return {
    json: { out: written, name: card.name, paper, strips: strips.map((s) => s.name) },
    words: [
      `Wrote ${written}: ${card.name}${strips.length ? ` with ${strips.length} grey strips` : ''}, ${sheet}.`,
      'Print it at 100 % on matt paper in best quality, check the 100 mm line with a ruler, let it dry.',
    ].join('\n'),
  };
}

async function written(card: CardDefinition, base: CardDefinition, target: Target): Promise<Answer> {
  await writeWholeFile(target.path, definitionText(card));
  const apart = card.patches.map((p, i) =>
    deltaE2000(labOfPatch(p, card.white), labOfPatch(base.patches[i], base.white)),
  );
  const mean = apart.reduce((a, b) => a + b, 0) / apart.length;
  const worst = apart.indexOf(Math.max(...apart));
  const u = card.patches.reduce((sum, p) => sum + p.u, 0) / card.patches.length;
  return {
    json: {
      out: target.written,
      name: card.name,
      source: card.source,
      patches: card.patches.length,
      mean_u: u,
      from_base: { mean_de00: mean, max_de00: apart[worst], max_patch: card.patches[worst].id },
    },
    words: [
      `Wrote ${target.written}: ${card.patches.length} patches, ${card.source}, good to about ${u.toFixed(1)} ΔE2000 each.`,
      `This print differs from the colours stated before by ${mean.toFixed(1)} ΔE2000 on average, most at ${card.patches[worst].id} (${apart[worst].toFixed(1)}).`,
      `Use it with: sprayout measure PHOTO --card ${target.written}`,
    ].join('\n'),
  };
}
