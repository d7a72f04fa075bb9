/**
 * Everything together, on rendered photos: file → card found → panels found → colours, held against what was painted.
 *
 *   npx tsx tests/bench/end-to-end.ts [--scenes N] [--family judge|tune] [--tier measured|nominal] [--seed S]
 */
import { parseArgs } from 'node:util';
import { BACKGROUNDS, LIGHT_KINDS, type RenderOptions } from '../../samples/scene/index.ts';
import { deltaE2000, type Lab } from '../../src/core/color/index.ts';
import { comparePanels } from '../../src/core/compare/index.ts';
import { SprayoutError } from '../../src/core/errors.ts';
import { seededRandom } from '../../src/core/math/random.ts';
import { measurePhoto } from '../../src/core/measure/index.ts';
import { benchScene, type MatchedPanel, matchPanels, takePhoto } from '../measure/rendered.ts';
import { makeScores } from './accuracy/scores.ts';

const { values } = parseArgs({
  options: {
    scenes: { type: 'string', default: '30' },
    family: { type: 'string', default: 'judge' },
    tier: { type: 'string', default: 'measured' },
    seed: { type: 'string', default: '9000' },
  },
});
/** True colours closer than this, ΔE2000, are near. */
const NEAR = 12;
/** An error worth a line of its own. */
const LARGE = 6;

const print = (line: string): void => void process.stdout.write(`${line}\n`);
const f = (x: number): string => (Number.isFinite(x) ? x.toFixed(2) : '–');
const scores = makeScores();

/** How the photo was taken: 1.6 to 3 megapixels, tilted, turned, on any bench, half of them with lamps mirrored. */
function poseOf(i: number): Partial<RenderOptions> {
  const random = seededRandom(77 * i + 5);
  const width_px = Math.round(1460 + 540 * random.uniform());
  return {
    width_px,
    height_px: Math.round(0.75 * width_px),
    background: BACKGROUNDS[i % BACKGROUNDS.length],
    glareChance: i % 2 ? 0.25 : 0,
    blur_px: 0.5 + 0.5 * random.uniform(),
    pose: {
      tilt_deg: 28 * random.uniform(),
      tilt_towards_deg: 360 * random.uniform(),
      rotation_deg: 360 * random.uniform(),
    },
  };
}

async function runScene(i: number): Promise<void> {
  const light = LIGHT_KINDS[i % LIGHT_KINDS.length];
  const scene = benchScene(Number(values.seed) + i, {
    family: values.family as 'judge' | 'tune',
    cardTier: values.tier as 'measured' | 'nominal',
    light,
    panels: 6 + (i % 5),
    identicalPair: true,
  });
  const photo = await takePhoto(scene, poseOf(i), { quality: 88 });
  try {
    const measured = measurePhoto(photo.raster, { card: photo.card });
    scores.add('card found', 1);
    const matched = matchPanels(photo, measured);
    scores.add('too many', measured.panels.length - matched.length);
    scores.add('check', measured.card.check.mean_de00);
    scorePanels(matched, light);
    scorePairs(matched, measured.colours);
    photo.rendered.truth.panels.forEach((_, k) => {
      scores.add('panel found', matched.some((m) => m.at === k) ? 1 : 0);
    });
    const note = `scene ${i} ${light}: ${matched.length} of ${photo.rendered.truth.panels.length} panels, ${measured.panels.length - matched.length} too many, check ${f(measured.card.check.mean_de00)}, errors ${matched.map((m) => f(m.error)).join(' ')}`;
    if (matched.some((m) => m.error > LARGE) || matched.length < photo.rendered.truth.panels.length)
      print(note);
  } catch (error) {
    if (!(error instanceof SprayoutError)) throw error;
    scores.add('card found', 0);
    print(`scene ${i} ${light}: ${error.code}: ${error.message}`);
  }
}

function scorePanels(matched: readonly MatchedPanel[], light: string): void {
  for (const { truth, measured, error } of matched) {
    scores.add('error', error);
    scores.add(`error ${light}`, error);
    for (const [a, axis] of ['L*', 'a*', 'b*'].entries()) {
      const held = Math.abs(measured.lab[a] - truth[a]) <= measured.u95[a] ? 1 : 0;
      scores.add(`held ${axis}`, held);
      scores.add(`held ${light}`, held);
      scores.add(`u95 ${axis}`, measured.u95[a]);
    }
  }
}

function scorePairs(matched: readonly MatchedPanel[], colours: Parameters<typeof comparePanels>[0]): void {
  if (matched.length < 2) return;
  const truths = new Map<string, Lab>(matched.map((m) => [m.measured.id, m.truth]));
  for (const pair of comparePanels(colours).pairs) {
    const [a, b] = [truths.get(pair.a), truths.get(pair.b)];
    if (!a || !b) continue;
    const truth = deltaE2000(a, b);
    scores.add('pair held', pair.interval95[0] - 1e-9 <= truth && truth <= pair.interval95[1] ? 1 : 0);
    if (truth < 1e-9) scores.add('identical', pair.de00);
    else if (truth < NEAR) scores.add('pair', Math.abs(pair.de00 - truth));
  }
}

for (let i = 0; i < Number(values.scenes); i++) await runScene(i);

const by = (name: string): string =>
  LIGHT_KINDS.map((l) => `${l} ${f(scores.mean(`${name} ${l}`))}`).join('  ');
print(`\n${values.scenes} photos, family ${values.family}, card ${values.tier}`);
print(`  card found          ${f(scores.mean('card found'))}`);
print(
  `  panels found        ${f(scores.mean('panel found'))}   too many a photo ${f(scores.mean('too many'))}`,
);
print(`  error of a panel    mean ${f(scores.mean('error'))}   95th ${f(scores.quantile('error', 0.95))}`);
print(`    by light          ${by('error')}`);
print(
  `  near pairs off by   ${f(scores.mean('pair'))}   identical panels apart ${f(scores.mean('identical'))}`,
);
print(
  `  intervals hold      ${['L*', 'a*', 'b*'].map((a) => `${a} ${f(scores.mean(`held ${a}`))}`).join('  ')}   pairs ${f(scores.mean('pair held'))}`,
);
print(`    by light          ${by('held')}`);
print(
  `  half-widths         ${['L*', 'a*', 'b*'].map((a) => `${a} ${f(scores.mean(`u95 ${a}`))}`).join('  ')}`,
);
print(`  check on the card   ${f(scores.mean('check'))}`);
