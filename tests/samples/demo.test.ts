import { readFileSync, statSync } from 'node:fs';
import sharp from 'sharp';
import { describe, expect, test } from 'vitest';
import { ENAMEL_LAB, PANELS, scenePanels } from '../../samples/demo/kettle-lid.ts';
import { de00, type Triple } from '../../samples/scene/spectral.ts';
import { cardSchema } from '../../shared/schemas/card.ts';
import { jobSchema } from '../../shared/schemas/job.ts';

const folder = new URL('../../samples/demo/', import.meta.url);
const read = (name: string): unknown => JSON.parse(readFileSync(new URL(name, folder), 'utf8'));
const job = jobSchema.parse(read('kettle-lid.job.json'));
const truth = read('truth.json') as { panels: Record<string, Triple>; target: Triple };

describe('the kettle-lid demo', () => {
  test('its truth is what its spectra say', () => {
    for (const panel of scenePanels(PANELS.map((p) => p.id)))
      expect(de00(truth.panels[panel.id], panel.lab), panel.id).toBeLessThan(0.01);
    expect(de00(truth.target, ENAMEL_LAB)).toBeLessThan(0.01);
  });

  test('the job names every panel, its ground and its mix, and each is seen in the sun and in the shop', () => {
    expect(job.panels.map((p) => p.id)).toEqual(PANELS.map((p) => p.id));
    const lightOf = new Map(job.photos.map((p) => [p.id, p.light]));
    for (const panel of job.panels) {
      expect(job.grounds.map((g) => g.id)).toContain(panel.ground);
      expect(panel.mix === undefined).toBe(panel.coats === 0);
      expect(new Set(panel.measured.map((m) => lightOf.get(m.photo!)))).toEqual(new Set(['sun', 'shop']));
    }
    expect(job.target!.measured).toHaveLength(4);
  });

  test('the photos are small enough to check in, and every outline lies inside its photo', async () => {
    let bytes = 0;
    for (const photo of job.photos) {
      const file = new URL(photo.file, folder);
      bytes += statSync(file).size;
      const { width = 0, height = 0 } = await sharp(readFileSync(file)).metadata();
      const outlines = [...job.panels.map((p) => p.measured), job.target!.measured]
        .flat()
        .filter((m) => m.photo === photo.id);
      expect(outlines).toHaveLength(7);
      for (const [x, y] of outlines.flatMap((m) => m.corners_px!)) {
        expect(x > 0 && x < width && y > 0 && y < height).toBe(true);
      }
    }
    expect(bytes).toBeLessThan(6e6);
  });

  test('there is something to find: the first blend is off, and the way is a little more amber and another coat', () => {
    const off = (id: string) => de00(truth.panels[id], truth.target);
    for (const panel of PANELS) expect(off(panel.id), panel.id).toBeGreaterThan(3);
    expect(off('p6')).toBeLessThan(off('p5'));
    expect(off('p5')).toBeLessThan(off('p4'));
  });

  test('its card is the project’s own, read with an instrument', () => {
    const card = cardSchema.parse(read('bench-card.card.json'));
    expect(card.source).toBe('measured');
    expect(card.patches.every((p) => p.spectrum && p.u <= 0.5)).toBe(true);
  });
});
