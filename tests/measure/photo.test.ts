import { beforeAll, describe, expect, it } from 'vitest';
import { LIGHT_KINDS } from '../../samples/scene/index.ts';
import { deltaE2000, type Lab } from '../../src/core/color/index.ts';
import { comparePanels } from '../../src/core/compare/index.ts';
import { type MeasuredPhoto, measurePhoto } from '../../src/core/measure/index.ts';
import { benchScene, matchPanels, mean, type TakenPhoto, takePhoto, truePlaces } from './rendered.ts';

/** Photos of the judge's benches: every light, tilted and turned, as JPEG. */
const photos: { readonly photo: TakenPhoto; readonly measured: MeasuredPhoto }[] = [];

beforeAll(async () => {
  for (const [i, light] of LIGHT_KINDS.entries()) {
    const pose = { tilt_deg: 5 * i, tilt_towards_deg: 100 * i, rotation_deg: 70 * i };
    const scene = benchScene(3100 + i, { light, identicalPair: true, panels: 10 });
    const photo = await takePhoto(scene, { pose, glareChance: i % 2 ? 0.25 : 0 });
    photos.push({ photo, measured: measurePhoto(photo.raster, { card: photo.card }) });
  }
});

describe('a photo of panels beside the card', () => {
  it('is measured without a word: card and panels are found', () => {
    for (const { photo, measured } of photos) {
      expect(measured.card.found_by).toBe('markers');
      expect(matchPanels(photo, measured)).toHaveLength(photo.rendered.truth.panels.length);
      expect(measured.panels).toHaveLength(photo.rendered.truth.panels.length);
    }
  });

  it('gives the colours that were painted, within 2 ΔE2000 on average', () => {
    const errors = photos.flatMap(({ photo, measured }) => matchPanels(photo, measured).map((m) => m.error));
    expect(mean(errors)).toBeLessThan(2);
    // one tint in one of these lamps (3101, warm) is a metamer none of the card's colours tells of: 6 to 8 off, and
    // 9 and more off with a 3×3 matrix
    expect(Math.max(...errors)).toBeLessThan(9);
    expect(errors.filter((e) => e < 3.5).length / errors.length).toBeGreaterThan(0.8);
  });

  it('gives intervals that hold the truth for nearly all, and are no wider than of use', () => {
    const held: number[] = [];
    const widths: number[] = [];
    for (const { photo, measured } of photos)
      for (const { truth, measured: panel } of matchPanels(photo, measured))
        truth.forEach((v, a) => {
          held.push(Math.abs(panel.lab[a] - v) <= panel.u95[a] ? 1 : 0);
          widths.push(panel.u95[a]);
        });
    // five photos, with that metamer and one of them under a lamp; over hundreds of scenes it is 92 to 98 of 100, and 2.2 wide
    // (npm run bench:accuracy)
    expect(mean(held)).toBeGreaterThan(0.85);
    expect(mean(widths)).toBeLessThan(3.7);
  });

  it('gives differences between near panels to within .6 ΔE2000', () => {
    const off = photos.flatMap(({ photo, measured }) => {
      const matched = matchPanels(photo, measured);
      return matched.flatMap((a, i) =>
        matched.slice(i + 1).flatMap((b) => {
          const truth = deltaE2000(a.truth, b.truth);
          const seen = deltaE2000(a.measured.lab, b.measured.lab);
          return truth > 1e-9 && truth < 12 ? [Math.abs(seen - truth)] : [];
        }),
      );
    });
    expect(off.length).toBeGreaterThan(10);
    expect(mean(off)).toBeLessThan(0.6);
  });

  it('finds no difference between two panels of the same paint', () => {
    for (const { photo, measured } of photos) {
      const matched = matchPanels(photo, measured);
      const [a, b] = matched.filter((m, _, all) =>
        all.some((n) => n !== m && deltaE2000(n.truth, m.truth) < 1e-9),
      );
      const pair = comparePanels(measured.colours).pairs.find(
        (p) => [p.a, p.b].includes(a.measured.id) && [p.a, p.b].includes(b.measured.id),
      )!;
      expect(pair.interval95[0]).toBe(0);
      expect(pair.words).toMatch(/no difference/i);
    }
  });

  it('tells daylight from lamplight', () => {
    const cct = (kind: (typeof LIGHT_KINDS)[number]): number =>
      photos[LIGHT_KINDS.indexOf(kind)].measured.light.cct_k;
    expect(cct('lamp')).toBeLessThan(cct('warm-led') + 800);
    expect(cct('lamp')).toBeLessThan(3600);
    expect(cct('day')).toBeGreaterThan(4300);
  });

  it('measures the same bytes to the same digits', () => {
    const { photo, measured } = photos[0];
    const again = measurePhoto(photo.raster, { card: photo.card });
    expect(again.panels).toEqual(measured.panels);
    expect([...again.colours.draws]).toEqual([...measured.colours.draws]);
    expect(again.card.check).toEqual(measured.card.check);
  });

  it('reads panels found by itself and panels outlined by hand alike', () => {
    const { photo, measured } = photos[1];
    const outlined = measurePhoto(photo.raster, { card: photo.card, panels: truePlaces(photo) });
    for (const { at, measured: found } of matchPanels(photo, measured))
      expect(deltaE2000(found.lab, outlined.panels[at].lab)).toBeLessThan(0.3);
  });
});

describe('a panel whose colour an instrument has told', () => {
  it('brings its neighbours of the same tint closer, and their intervals in', () => {
    const before: number[] = [];
    const after: number[] = [];
    for (const { photo } of photos) {
      const { scene, card, raster } = photo;
      const places = truePlaces(photo);
      const plain = measurePhoto(raster, { card, panels: places });
      const first = scene.panels[0];
      const lab = first.lab as Lab;
      const helped = measurePhoto(raster, { card, panels: places, known: [{ id: first.id, lab, u: 0.3 }] });
      expect(deltaE2000(helped.panels[0].lab, lab)).toBeLessThan(0.8);
      scene.panels.forEach((p, k) => {
        if (k === 0 || p.tint !== first.tint || deltaE2000(p.lab, first.lab) < 1e-9) return;
        before.push(deltaE2000(plain.panels[k].lab, p.lab));
        after.push(deltaE2000(helped.panels[k].lab, p.lab));
        const width = (u: readonly number[]): number => Math.hypot(...u);
        expect(width(helped.panels[k].u95)).toBeLessThan(width(plain.panels[k].u95));
      });
    }
    expect(before.length).toBeGreaterThan(8);
    expect(mean(after)).toBeLessThan(0.9 * mean(before));
  });
});

describe('a window mirrored softly in a panel', () => {
  it('is told of, with the side it lies on, and widens that panel alone', async () => {
    const scene = benchScene(3140, { light: 'day', panels: 4 });
    const spot = {
      at_mm: [0, 0],
      radius_mm: [45, 45],
      turn_deg: 0,
      strength: 0.05,
    } as const;
    const taken = async (mirrors: boolean): Promise<MeasuredPhoto> => {
      const photo = await takePhoto(scene, {
        width_px: 2000,
        height_px: 1500,
        finish: (i) => (mirrors && i === 0 ? { gloss: [spot] } : {}),
      });
      return measurePhoto(photo.raster, { card: photo.card, panels: truePlaces(photo) });
    };
    const [clear, veiled] = [await taken(false), await taken(true)];
    expect(clear.panels.flatMap((p) => p.warnings)).toEqual([]);
    expect(veiled.panels[0].warnings.map((w) => w.code)).toEqual(['panel-veiled']);
    expect(veiled.panels[0].warnings[0].message).toMatch(/paler towards its top left/);
    expect(veiled.panels[0].u95[0]).toBeGreaterThan(2 * clear.panels[0].u95[0]);
    expect(Math.abs(veiled.panels[0].lab[0] - scene.panels[0].lab[0])).toBeLessThan(veiled.panels[0].u95[0]);
    veiled.panels.slice(1).forEach((panel, i) => {
      expect(panel.warnings).toEqual([]);
      expect(panel.u95[0]).toBeCloseTo(clear.panels[i + 1].u95[0], 2);
    });
  });
});
