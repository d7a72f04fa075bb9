import { describe, expect, it } from 'vitest';
import { findCards } from '../../../src/core/card/find/index.ts';
import { LEAST_TAG_PX } from '../../../src/core/card/find/refusal.ts';
import { OWN_CARD, OWN_STRIPS } from '../../../src/core/card/own.ts';
import type { PlacedCard } from '../../../src/core/card/types.ts';
import { seededRandom } from '../../../src/core/math/random.ts';
import type { PointMm, Raster } from '../../../src/core/photo/index.ts';
import { covered, distance, type Photo, photo, rearranged, relit } from './photos.ts';

const SIZE = { width_px: 1200, height_px: 900 } as const;
const CENTRE: readonly [number, number] = [74, 52.5];

/** Distances of the placed marker corners from their true places, px. */
function cornerErrors(card: PlacedCard, { truth }: Photo): number[] {
  return truth.markers.flatMap(({ id, corners_px }) => {
    const marker = card.definition.markers.find((m) => m.id === id)!;
    return corners_px.map((p, i) => distance(p, card.toPx(marker.corners_mm[i] as PointMm)));
  });
}

function expectPlaced(taken: Photo, raster = taken.raster): PlacedCard {
  const [card] = findCards(raster, [OWN_CARD]);
  const errors = cornerErrors(card, taken);
  expect(errors.reduce((a, b) => a + b, 0) / errors.length).toBeLessThan(0.15);
  expect(Math.max(...errors)).toBeLessThan(0.5);
  for (let i = 0; i < 4; i++) expect(distance(card.corners_px[i], taken.truth.card_px[i])).toBeLessThan(0.5);
  return card;
}

function codeOf(raster: Raster): string {
  try {
    findCards(raster, [OWN_CARD]);
  } catch (error) {
    const { code, message, hint } = error as { code: string; message: string; hint: string };
    expect(message.length).toBeGreaterThan(20);
    expect(hint.length).toBeGreaterThan(20);
    return code;
  }
  return 'found';
}

describe('the card is found to a fraction of a pixel', () => {
  it('with its tags drawn the other way up, as OpenCV draws the family', () => {
    const taken = photo(9, { ...SIZE, pose: { centre_mm: CENTRE, px_per_mm: 4 } });
    // every tag's square turned by half a turn in place
    const squares = taken.truth.markers.map(({ corners_px }) => corners_px.map((p) => p.map(Math.round)));
    const turned = rearranged(taken.raster, SIZE.width_px, SIZE.height_px, (x, y) => {
      for (const [[left, top], , [right, bottom]] of squares) {
        if (x >= left && x < right && y >= top && y < bottom)
          return [left + right - 1 - x, top + bottom - 1 - y];
      }
      return [x, y];
    });
    const [found] = findCards(turned, [OWN_CARD]);
    for (let i = 0; i < 4; i++)
      expect(distance(found.corners_px[i], taken.truth.card_px[i])).toBeLessThan(0.5);
  });

  it('in any turn and at tilts up to 40°, from 60 px a tag', () => {
    const random = seededRandom(3);
    for (let i = 0; i < 12; i++) {
      const tilt_deg = 40 * random.uniform();
      const taken = photo(400 + i, {
        ...SIZE,
        blur_px: 0.5 + 0.4 * random.uniform(),
        pose: {
          centre_mm: CENTRE,
          px_per_mm: 3.2 / Math.cos((tilt_deg * Math.PI) / 180) + 1.2 * random.uniform(),
          tilt_deg,
          tilt_towards_deg: 360 * random.uniform(),
          rotation_deg: 360 * random.uniform(),
        },
      });
      expectPlaced(taken);
    }
  });

  it('where light falls off by 40 % across the card', () => {
    const taken = photo(431, { ...SIZE, pose: { centre_mm: CENTRE, px_per_mm: 5, rotation_deg: 160 } });
    expectPlaced(
      taken,
      relit(taken.raster, (x) => 1 - (0.5 * x) / SIZE.width_px),
    );
  });

  it('in a 16-bit photo of linear pixels', () => {
    expectPlaced(
      photo(432, { ...SIZE, pose: { centre_mm: CENTRE, px_per_mm: 4, tilt_deg: 30 } }, { linear: true }),
    );
  });

  it('through a lens that bows lines by 2 % at the corner of the photo', () => {
    const taken = photo(433, {
      ...SIZE,
      pose: { centre_mm: [100, 70], px_per_mm: 5.5, tilt_deg: 20, tilt_towards_deg: 40, bow: -0.02 },
    });
    const card = expectPlaced(taken);
    // without the lens term no homography passes within .3 px of all sixteen corners
    expect(card.residual_px).toBeLessThan(0.12);
  });

  it('as a small part of a 12-megapixel photo', () => {
    const taken = photo(434, {
      width_px: 4000,
      height_px: 3000,
      pose: { centre_mm: [-150, 120], px_per_mm: 3.1, rotation_deg: 200 },
    });
    expectPlaced(taken);
  });

  it('when a hand covers one of its tags', () => {
    const taken = photo(435, { ...SIZE, pose: { centre_mm: CENTRE, px_per_mm: 5, tilt_deg: 25 } });
    const [a] = taken.truth.markers[2].corners_px;
    expectPlaced(
      taken,
      covered(taken.raster, (x, y) => distance([x, y], [a[0] + 40, a[1] + 40]) < 90),
    );
  });

  it('so that millimetres and pixels lead back to one another', () => {
    const taken = photo(436, { ...SIZE, pose: { centre_mm: CENTRE, px_per_mm: 4, tilt_deg: 35, bow: 0.03 } });
    const [card] = findCards(taken.raster, [OWN_CARD]);
    for (const mm of [
      [0, 0],
      [148, 105],
      [20, 90],
      [200, -30],
    ] as const)
      expect(distance(card.toMm(card.toPx(mm)), mm)).toBeLessThan(1e-3);
  });
});

describe('strips beside the card', () => {
  const taken = photo(
    440,
    { ...SIZE, width_px: 1600, height_px: 1200, pose: { tilt_deg: 20 } },
    { strips: true },
  );

  it('are placed in the plane of the card', () => {
    const [card, ...strips] = findCards(taken.raster, [OWN_CARD, ...OWN_STRIPS]);
    expect(card.definition).toBe(OWN_CARD);
    expect(strips.map((s) => s.definition.name)).toEqual(OWN_STRIPS.map((s) => s.name));
    strips.forEach((strip, i) => {
      expect(strip.found_by).toBe('markers');
      taken.truth.strips_px[i].forEach((p, k) => {
        expect(distance(p, strip.corners_px[k])).toBeLessThan(0.8);
      });
      // rigid: a strip of 120 mm is 120 mm on the card's plane
      const [a, b] = [card.toMm(strip.toPx([0, 8])), card.toMm(strip.toPx([120, 8]))];
      expect(distance(a, b)).toBeCloseTo(120, 6);
    });
  });

  it('are not asked for when they are not there', () => {
    const [a, , c] = taken.truth.strips_px[1];
    const hidden = covered(
      taken.raster,
      (x, y) => distance([x, y], [(a[0] + c[0]) / 2, (a[1] + c[1]) / 2]) < 60,
    );
    const cards = findCards(hidden, [OWN_CARD, ...OWN_STRIPS]);
    expect(cards.map((p) => p.definition.name)).toEqual([OWN_CARD.name, OWN_STRIPS[0].name]);
  });
});

describe('a card that cannot be used is refused by what is wrong', () => {
  const taken = photo(450, { ...SIZE, pose: { centre_mm: CENTRE, px_per_mm: 5, rotation_deg: 8 } });
  const { raster, truth } = taken;

  it('not there', () => {
    expect(codeOf(photo(451, { ...SIZE, withoutCard: true }).raster)).toBe('card-not-found');
  });

  it('mirrored', () => {
    const { width_px, height_px } = raster;
    expect(codeOf(rearranged(raster, width_px, height_px, (x, y) => [width_px - 1 - x, y]))).toBe(
      'card-mirrored',
    );
  });

  it('too small, down to tags of which hardly anything can be read', () => {
    for (const tag_px of [LEAST_TAG_PX - 6, 24, 16])
      expect(
        codeOf(photo(452, { ...SIZE, pose: { centre_mm: CENTRE, px_per_mm: tag_px / 20 } }).raster),
        `${tag_px} px`,
      ).toBe('card-too-small');
  });

  it('blurred', () => {
    for (const blur_px of [9, 14])
      expect(
        codeOf(photo(453, { ...SIZE, blur_px, pose: { centre_mm: CENTRE, px_per_mm: 5 } }).raster),
        `blur of ${blur_px} px`,
      ).toBe('card-blurred');
  });

  it('overexposed', () => {
    expect(codeOf(relit(raster, () => 3))).toBe('card-clipped');
  });

  it('half out of the photo, whichever half', () => {
    const [left, top] = [0, 1].map((k) => Math.min(...truth.card_px.map((p) => p[k])));
    const [right, bottom] = [0, 1].map((k) => Math.max(...truth.card_px.map((p) => p[k])));
    const x = Math.round((left + right) / 2);
    const y = Math.round((top + bottom) / 2);
    const { width_px: w, height_px: h } = raster;
    expect(codeOf(rearranged(raster, x, h, (i, j) => [i, j]))).toBe('card-partly-outside');
    expect(codeOf(rearranged(raster, w - x, h, (i, j) => [i + x, j]))).toBe('card-partly-outside');
    expect(codeOf(rearranged(raster, w, y, (i, j) => [i, j]))).toBe('card-partly-outside');
    expect(codeOf(rearranged(raster, w, h - y, (i, j) => [i, j + y]))).toBe('card-partly-outside');
  });

  it('one corner out of the photo', () => {
    const [x, y] = truth.markers[2].corners_px[0].map(Math.round);
    expect(codeOf(rearranged(raster, x + 30, y + 30, (i, j) => [i, j]))).toBe('card-partly-outside');
  });

  it('two tags covered', () => {
    const marks = truth.markers.slice(0, 2).map((m) => m.corners_px);
    const code = codeOf(
      covered(raster, (x, y) =>
        marks.some(([a, , c]) => distance([x, y], [(a[0] + c[0]) / 2, (a[1] + c[1]) / 2]) < 70),
      ),
    );
    expect(code).toBe('card-not-found');
  });

  it('a definition without markers', () => {
    expect(() => findCards(raster, [{ ...OWN_CARD, markers: [] }])).toThrow(/no markers/);
  });
});

describe('two cards in one photo', () => {
  it('give one of them, whole', () => {
    const taken = photo(460, { ...SIZE, height_px: 600, pose: { centre_mm: CENTRE, px_per_mm: 5 } });
    const doubled = rearranged(taken.raster, 1200, 1200, (x, y) => [x, y % 600]);
    const [card] = findCards(doubled, [OWN_CARD]);
    expect(card.residual_px).toBeLessThan(0.15);
    const below = card.corners_px[0][1] > 600 ? 600 : 0;
    taken.truth.card_px.forEach((p, i) => {
      expect(distance([p[0], p[1] + below], card.corners_px[i])).toBeLessThan(0.5);
    });
  });
});
