import { describe, expect, it } from 'vitest';
import { OWN_CARD } from '../../../src/core/card/own.ts';
import { placeByCorners } from '../../../src/core/card/place.ts';
import { samplePanel } from '../../../src/core/panel/index.ts';
import {
  keepNames,
  outlinePanels,
  pictureForFinder,
  spoiltBy,
} from '../../../src/core/panel/outline/index.ts';
import { quadArea } from '../../../src/core/photo/polygon.ts';
import type { PointPx, QuadPx } from '../../../src/core/photo/types.ts';
import { type Drawn, drawnMaps, drawnPhoto, rectangle } from './drawn-maps.ts';

const RED = [150, 40, 40] as const;
const BLUE = [40, 60, 140] as const;

function found(things: readonly Drawn[], more: Parameters<typeof drawnMaps>[1] = {}) {
  const panels = things.filter((t) => !more.objects?.includes(t.outline));
  return outlinePanels(
    drawnPhoto(things),
    [],
    drawnMaps(
      panels.map((t) => t.outline),
      more,
    ),
  );
}

/** Farthest of the found corners from the nearest real one, px. */
const farthest = (corners: readonly PointPx[], real: readonly PointPx[]): number =>
  Math.max(...corners.map(([x, y]) => Math.min(...real.map(([u, v]) => Math.hypot(x - u, y - v)))));

describe('panels told by the maps', () => {
  it.each([0, 7, 30])('have their corners on the photo’s edges, turned by %d degrees', (turn) => {
    const outline = rectangle(300, 250, 260, 200, turn);
    const panels = found([{ outline, code: RED }]);
    expect(panels).toHaveLength(1);
    expect(panels[0].shape).toBe('quad');
    expect(farthest(panels[0].corners_px, outline)).toBeLessThan(0.6);
  });

  it('are two where two of different colours touch', () => {
    const [left, right] = [rectangle(200, 200, 200, 220), rectangle(400, 200, 200, 220)];
    const panels = found([
      { outline: left, code: RED },
      { outline: right, code: BLUE },
    ]);
    expect(panels.map((p) => p.id)).toEqual(['A', 'B']);
    expect(farthest(panels[0].corners_px, left)).toBeLessThan(1);
    expect(farthest(panels[1].corners_px, right)).toBeLessThan(1);
  });

  it('are not joined by a strip of tape across both, which hides part of their sides', () => {
    const [left, right] = [rectangle(200, 200, 200, 220), rectangle(440, 200, 200, 220)];
    const tape = rectangle(360, 290, 120, 40);
    const panels = found(
      [
        { outline: left, code: RED },
        { outline: right, code: BLUE },
        { outline: tape, code: [220, 200, 120] },
      ],
      { objects: [tape] },
    );
    expect(panels).toHaveLength(2);
    for (const [i, real] of [left, right].entries())
      expect(quadArea(panels[i].corners_px) / quadArea(real as unknown as QuadPx)).toBeCloseTo(1, 1);
  });

  it('are left out where the photo cuts them off', () => {
    expect(found([{ outline: rectangle(-60, 200, 220, 200), code: RED }])).toEqual([]);
  });

  it('are read in a square inside when they are round, their outline kept', () => {
    const disc = Array.from({ length: 48 }, (_, i): PointPx => {
      const a = (2 * Math.PI * i) / 48;
      return [500 + 150 * Math.cos(a), 380 + 150 * Math.sin(a)];
    });
    const [lid] = found([{ outline: disc, code: BLUE }]);
    expect(lid.shape).toBe('ellipse');
    for (const [x, y] of lid.outline_px) expect(Math.abs(Math.hypot(x - 500, y - 380) - 150)).toBeLessThan(6);
    for (const [x, y] of lid.corners_px) expect(Math.hypot(x - 500, y - 380)).toBeLessThan(150);
  });

  it('are named from left to right, row by row', () => {
    const at = (x: number, y: number): Drawn => ({ outline: rectangle(x, y, 140, 120), code: RED });
    const panels = found([at(600, 420), at(150, 160), at(600, 150), at(150, 430)]);
    const corner = (p: (typeof panels)[number]): string => `${p.id} ${p.corners_px[0].map(Math.round)}`;
    expect(panels.map(corner)).toEqual(['A 150,160', 'B 600,150', 'C 150,430', 'D 600,420']);
  });
});

describe('panels cut to one size, in the plane of the card (common practice, no source)', () => {
  // the card lies at the photo's top left, one pixel a third of a millimetre
  const card = placeByCorners(OWN_CARD, [
    [20, 20],
    [20 + 3 * OWN_CARD.size_mm[0], 20],
    [20 + 3 * OWN_CARD.size_mm[0], 20 + 3 * OWN_CARD.size_mm[1]],
    [20, 20 + 3 * OWN_CARD.size_mm[1]],
  ]);
  const disc = (x: number, y: number, radius: number): PointPx[] =>
    Array.from({ length: 48 }, (_, i): PointPx => {
      const a = (2 * Math.PI * i) / 48;
      return [x + radius * Math.cos(a), y + radius * Math.sin(a)];
    });
  /** What is found where the maps show only `seen` of the things and know the `hands` to lie on them. */
  const foundBeside = (
    things: readonly Drawn[],
    seen: readonly (readonly PointPx[])[],
    hands: readonly (readonly PointPx[])[],
  ) =>
    outlinePanels(
      drawnPhoto([...things, ...hands.map((outline): Drawn => ({ outline, code: [60, 50, 45] }))]),
      [card],
      drawnMaps(seen, { objects: hands }),
    );
  const [one, two, three] = [40, 280, 520].map((x) => rectangle(x, 480, 200, 140));
  const red = (outline: readonly PointPx[]): Drawn => ({ outline, code: RED });

  it('reach under a hand as far as the others are long', () => {
    const seen = rectangle(520, 480, 150, 140);
    const panels = foundBeside([one, two, three].map(red), [one, two, seen], [rectangle(660, 440, 120, 220)]);
    expect(panels).toHaveLength(3);
    expect(farthest(panels[2].corners_px, three)).toBeLessThan(6);
  });

  it('keep their own size where all their sides show', () => {
    const small = rectangle(520, 480, 150, 120);
    const panels = foundBeside([one, two, small].map(red), [one, two, small], []);
    expect(panels).toHaveLength(3);
    expect(farthest(panels[2].corners_px, small)).toBeLessThan(1);
  });

  it('are whole lids where fingers cover a part of one', () => {
    const lids = [disc(120, 560, 80), disc(330, 560, 80), disc(560, 560, 80)];
    // the maps take the part under the hand for none of the lid
    const left = disc(560, 560, 80).filter(([x]) => x <= 585);
    const panels = foundBeside(lids.map(red), [lids[0], lids[1], left], [rectangle(583, 450, 100, 220)]);
    expect(panels.map((p) => p.shape)).toEqual(['ellipse', 'ellipse', 'ellipse']);
    for (const [x, y] of panels[2].outline_px)
      expect(Math.abs(Math.hypot(x - 560, y - 560) - 80)).toBeLessThan(6);
    for (const [x] of panels[2].corners_px) expect(x).toBeLessThan(590);
  });
});

describe('the network’s picture', () => {
  it('has sides that are multiples of 32, and an even photo’s own code', () => {
    const picture = pictureForFinder(drawnPhoto([]));
    expect([picture.width % 32, picture.height % 32]).toEqual([0, 0]);
    for (const at of [0, 5000, picture.planes.length - 1])
      expect(picture.planes[at]).toBeCloseTo(150 / 255, 2);
  });
});

describe('glare and objects in the maps', () => {
  it('stay out of a panel’s colour', () => {
    const outline = rectangle(300, 250, 260, 200) as unknown as QuadPx;
    const glare = rectangle(380, 300, 90, 70);
    const clean = samplePanel(drawnPhoto([{ outline, code: RED }]), outline).reading;
    const photo = drawnPhoto([
      { outline, code: RED },
      // faint and soft enough that brightness alone hardly tells
      { outline: glare, code: [153, 43, 43] },
    ]);
    const read = samplePanel(
      photo,
      outline,
      spoiltBy(drawnMaps([outline], { glare: [glare] }), photo),
    ).reading;
    expect(read.glareFraction).toBeGreaterThan(0.12);
    for (const c of [0, 1, 2] as const) expect(read.linear[c]).toBeCloseTo(clean.linear[c], 3);
  });
});

describe('names', () => {
  const panel = (id: string, x: number, y: number) => ({
    id,
    corners_px: rectangle(x, y, 100, 80) as unknown as QuadPx,
  });

  it('are kept when a photo is taken again from about the same place, whatever the new order', () => {
    const before = [panel('A', 100, 100), panel('B', 300, 100), panel('C', 500, 100)];
    const now = [panel('A', 520, 90), panel('B', 110, 112), panel('C', 322, 95)];
    expect(keepNames(now, before).map((p) => p.id)).toEqual(['C', 'A', 'B']);
  });

  it('of panels taken away are not given to new ones', () => {
    const kept = keepNames(
      [panel('A', 310, 100), panel('B', 700, 400)],
      [panel('A', 100, 100), panel('B', 300, 100)],
    );
    expect(kept.map((p) => p.id)).toEqual(['B', 'C']);
  });

  it('follow the place on the bench when the camera has moved', () => {
    const moved = keepNames([panel('A', 900, 100)], [panel('K', 100, 100)], ([x, y]) => [x - 800, y]);
    expect(moved.map((p) => p.id)).toEqual(['K']);
  });
});
