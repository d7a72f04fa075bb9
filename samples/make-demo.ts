/** Makes the demo: the job, its card, its photos and the truth behind them. Run: `npx tsx samples/make-demo.ts`. */
import { mkdirSync, readFileSync, writeFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { cardSchema } from '../shared/schemas/card.ts';
import { CARRIER, ENAMEL_LAB, GROUNDS, PANELS, REDUCER_PCT, scenePanels, TINTS } from './demo/kettle-lid.ts';
import { demoScene, LID_AREA, PHOTOS } from './demo/photos.ts';
import { cornersPx, type QuadPx } from './scene/framing.ts';
import { photoFile, renderScene } from './scene/index.ts';

const WIDTH_PX = 2240;
const HEIGHT_PX = 1680;
const QUALITY = 95;

const at = (path: string): string => fileURLToPath(new URL(path, import.meta.url));
const readCard = (name: string) =>
  cardSchema.parse(JSON.parse(readFileSync(at(`../calibration/cards/${name}.card.json`), 'utf8')));
const card = readCard('sprayout-a6');
const strips = ['sprayout-strip-1', 'sprayout-strip-2'].map(readCard);

const round = (quad: QuadPx): number[][] => quad.map((p) => p.map((v) => Math.round(v * 10) / 10));
const places = new Map<string, { photo: string; corners_px: number[][] }[]>();
const note = (id: string, photo: string, corners: QuadPx): void => {
  places.set(id, [...(places.get(id) ?? []), { photo, corners_px: round(corners) }]);
};

mkdirSync(at('demo/'), { recursive: true });
let measured = card;
for (const photo of PHOTOS) {
  const { scene, props } = demoScene(photo, card, strips);
  const rendered = renderScene(scene, {
    width_px: WIDTH_PX,
    height_px: HEIGHT_PX,
    pose: photo.pose,
    props,
    background: 'wood',
    blur_px: 0.65,
    noise: 1.2,
    margin: 0.035,
    glareChance: 0.2,
    // the lid's highlights lie towards the upper left
    lamp_deg: -130,
  });
  const bytes = await photoFile(rendered, { format: 'jpeg', quality: QUALITY, orientation: 1 });
  writeFileSync(at(`demo/${photo.file}`), bytes);
  for (const panel of rendered.truth.panels) note(panel.id, photo.id, panel.corners_px);
  note('target', photo.id, cornersPx(LID_AREA, rendered.toPx));
  measured = scene.card.definition;
  console.log(`${photo.file}: ${(bytes.length / 1e6).toFixed(2)} MB`);
}

const job = {
  format: 'sprayout-job/1',
  name: 'Kettle lid in garnet and amber',
  white: 'D50/2',
  tints: TINTS.map(({ id, name }) => ({ id, name })),
  grounds: GROUNDS.map(({ id, name }) => ({ id, name })),
  photos: PHOTOS.map(({ id, file, light }) => ({
    id,
    file,
    light,
    view: 'face',
    card: 'bench-card.card.json',
  })),
  panels: PANELS.map((panel) => ({
    id: panel.id,
    name: panel.name,
    ground: panel.ground,
    ...(panel.coats > 0
      ? { mix: { parts: partsOf(panel.parts), carrier: CARRIER }, reducer_pct: REDUCER_PCT }
      : {}),
    coats: panel.coats,
    clear: true,
    measured: places.get(panel.id),
  })),
  target: { name: 'Enamel kettle lid', measured: places.get('target') },
  pot: { mix: { parts: { garnet: 5, amber: 1 }, carrier: CARRIER }, volume_ml: 210 },
};

function partsOf([garnet, amber]: readonly [number, number]): Record<string, number> {
  return { ...(garnet > 0 ? { garnet } : {}), ...(amber > 0 ? { amber } : {}) };
}

const digits = (lab: readonly number[]): number[] => lab.map((v) => Math.round(v * 1000) / 1000);
const truth = {
  white: 'D50/2',
  panels: Object.fromEntries(scenePanels(PANELS.map((p) => p.id)).map((p) => [p.id, digits(p.lab)])),
  target: digits(ENAMEL_LAB),
};

/** Indented JSON with points and quadrilaterals on one line, as the formatter has them. */
function tidy(value: unknown): string {
  const oneLine = (list: string): string => list.replace(/\s+/g, ' ').replace('[ ', '[').replace(' ]', ']');
  const points = JSON.stringify(value, null, 2).replace(/\[\s+-?[\d.]+(,\s+-?[\d.]+)*\s+\]/g, oneLine);
  return `${points.replace(/\[\s+\[[^\]]*\](,\s+\[[^\]]*\])*\s+\]/g, oneLine)}\n`;
}

const write = (name: string, value: unknown): void => writeFileSync(at(`demo/${name}`), tidy(value));
write('kettle-lid.job.json', job);
write('truth.json', truth);
write('bench-card.card.json', { ...measured, name: 'Bench card, read with an instrument' });
