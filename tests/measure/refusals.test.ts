import { beforeAll, describe, expect, it } from 'vitest';
import type { PanelsFile } from '../../shared/schemas/panels.ts';
import { exitCodeOf, SprayoutError } from '../../src/core/errors.ts';
import { measurePhoto } from '../../src/core/measure/index.ts';
import type { PointPx } from '../../src/core/photo/index.ts';
import { eachPixelRow } from '../../src/core/photo/polygon.ts';
import { benchScene, type TakenPhoto, takePhoto, truePlaces } from './rendered.ts';

let photo: TakenPhoto;
beforeAll(async () => {
  photo = await takePhoto(benchScene(3201, { light: 'day', panels: 3 }), { width_px: 1100, height_px: 825 });
});

function refusal(measure: () => unknown): SprayoutError {
  try {
    measure();
  } catch (error) {
    expect(error).toBeInstanceOf(SprayoutError);
    const refused = error as SprayoutError;
    expect(refused.message.length).toBeGreaterThan(10);
    expect(refused.hint.length).toBeGreaterThan(10);
    return refused;
  }
  throw new Error('nothing was refused');
}

type Corners = PanelsFile['panels'][number]['corners_px'];
const withPanel =
  (corners_px: Corners): (() => unknown) =>
  () =>
    measurePhoto(photo.raster, {
      card: photo.card,
      panels: {
        format: 'sprayout-panels/1',
        panels: [...truePlaces(photo).panels, { id: 'wrong', corners_px }],
      },
    });

describe('what cannot be measured is refused with what to do', () => {
  it('a panel outlined on the card', () => {
    const { code, message } = refusal(
      withPanel(photo.rendered.truth.card_px.map((p) => [...p]) as unknown as Corners),
    );
    expect(code).toBe('panel-on-card');
    expect(message).toContain('wrong');
    expect(exitCodeOf(code)).toBe(2);
  });

  it('a panel outlined beyond the photo', () => {
    const { code, message } = refusal(
      withPanel([
        [1000, 700],
        [1200, 700],
        [1200, 800],
        [1000, 800],
      ]),
    );
    expect(code).toBe('panel-outside-photo');
    expect(message).toContain('1100 × 825');
  });

  it('corners that cross over, or are no numbers', () => {
    const [a, b, c, d] = truePlaces(photo).panels[0].corners_px;
    expect(refusal(withPanel([a, c, b, d])).code).toBe('panels-invalid');
    expect(refusal(withPanel([a, b, c, [Number.NaN, 5]])).code).toBe('panels-invalid');
    expect(refusal(withPanel([a, a, a, a])).code).toBe('panels-invalid');
  });

  it('a photo without the card', async () => {
    const { raster } = await takePhoto(photo.scene, { width_px: 900, height_px: 675, withoutCard: true });
    const { code } = refusal(() => measurePhoto(raster));
    expect(code).toBe('card-not-found');
    expect(exitCodeOf(code)).toBe(3);
  });

  it('a card half out of the frame', () => {
    const { raster, rendered } = photo;
    // cut the photo down the middle of the card, on the side that leaves the panels out
    const [cx] = rendered.toPx([74, 52]);
    const keep = Math.floor(cx);
    const rows = Array.from({ length: raster.height_px }, (_, y) =>
      raster.data.subarray(3 * y * raster.width_px, 3 * (y * raster.width_px + keep)),
    );
    const data = Uint8Array.from(rows.flatMap((row) => [...row]));
    const { code } = refusal(() => measurePhoto({ ...raster, width_px: keep, data }, { card: photo.card }));
    expect(code).toBe('card-partly-outside');
  });

  it('a card whose patches are nearly all left out', () => {
    const all = [photo.card, ...photo.scene.strips.map((strip) => strip.definition)];
    const leave_out = all.flatMap((card) => card.patches.map((p) => p.id)).slice(3);
    expect(refusal(() => measurePhoto(photo.raster, { card: photo.card, leave_out })).code).toBe(
      'card-unreadable',
    );
  });

  it('a photo without colour', () => {
    const { raster } = photo;
    const data = raster.data.map((_, i, all) => all[i - (i % 3) + 1]);
    const error = refusal(() => measurePhoto({ ...raster, data }, { card: photo.card }));
    expect(error.code).toBe('card-unreadable');
    expect(error.message).toContain('no colour');
  });

  it('an overexposed card', () => {
    const { raster } = photo;
    const data = Uint8Array.from(raster.data, (v) => Math.min(255, 3 * v));
    expect(['card-clipped', 'card-not-found']).toContain(
      refusal(() => measurePhoto({ ...raster, data }, { card: photo.card })).code,
    );
  });
});

describe('a card placed by hand', () => {
  const from = (turn: number) => {
    const [a, b, c, d] = photo.rendered.truth.card_px;
    return ([a, b, c, d, a, b, c] as const).slice(
      turn,
      turn + 4,
    ) as unknown as typeof photo.rendered.truth.card_px;
  };
  const options = () => ({ card: photo.card, panels: truePlaces(photo) });

  it.each([
    [1, 'fourth'],
    [2, 'third'],
    [3, 'second'],
  ])(
    'whose corners are given %d on from its own top left is read as it lies, and that is said',
    (turn, which) => {
      const straight = measurePhoto(photo.raster, { ...options(), corners_px: from(0) });
      const turned = measurePhoto(photo.raster, { ...options(), corners_px: from(turn) });
      expect(turned.panels.map((p) => p.lab)).toEqual(straight.panels.map((p) => p.lab));
      expect(turned.warnings.find((w) => w.code === 'card-turned')?.message).toContain(
        `with the ${which} as`,
      );
      expect(straight.warnings.map((w) => w.code)).not.toContain('card-turned');
    },
  );
});

describe('a card half in the shade', () => {
  it('is read, but not trusted, and that is said', () => {
    const { raster } = photo;
    const [a, b, c, d] = photo.rendered.truth.card_px;
    const middle = (p: PointPx, q: PointPx): PointPx => [(p[0] + q[0]) / 2, (p[1] + q[1]) / 2];
    const data = Uint8Array.from(raster.data);
    eachPixelRow(raster, [a, middle(a, b), middle(c, d), d], 1, (y, from, to) => {
      // .7 of the light, in encoded values: by a power of 2.2, near enough to sRGB
      for (let i = 3 * (y * raster.width_px + from); i < 3 * (y * raster.width_px + to); i++)
        data[i] *= 0.7 ** (1 / 2.2);
    });
    const codes = (r: typeof raster) => measurePhoto(r, { card: photo.card }).warnings.map((w) => w.code);
    expect(codes({ ...raster, data })).toContain('card-torn');
    expect(codes(raster)).not.toContain('card-torn');
  });
});

describe('an empty bench', () => {
  it('is no error: the card is read, and no panels are', async () => {
    const scene = benchScene(3202, { light: 'day', panels: 1 });
    const bare = { ...scene, panels: [], layout: { ...scene.layout, panels: [] } };
    const { raster, card } = await takePhoto(bare, { width_px: 900, height_px: 675 });
    const measured = measurePhoto(raster, { card });
    expect(measured.panels).toEqual([]);
    expect(measured.warnings.map((w) => w.code)).toContain('no-panels-found');
  });
});
