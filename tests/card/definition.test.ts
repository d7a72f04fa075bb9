import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { parseCard } from '../../src/core/card/definition.ts';
import { CARD_LAYOUT, STRIP_LAYOUTS } from '../../src/core/card/layout.ts';
import { definitionOfLayout, definitionText } from '../../src/core/card/make-definition.ts';
import { doOverlap, isConvexClockwise, rectangle } from '../../src/core/card/overlap.ts';
import { isOwnLayout, OWN_CARD, OWN_STRIPS, stripsBeside } from '../../src/core/card/own.ts';
import type { CardDefinition, CardPatch } from '../../src/core/card/types.ts';
import { SprayoutError } from '../../src/core/errors.ts';

const file = (name: string): string =>
  readFileSync(new URL(`../../calibration/cards/${name}.card.json`, import.meta.url), 'utf8');

const ALL = [OWN_CARD, ...OWN_STRIPS];

describe('the bench card and its strips', () => {
  it('are in their files what the layout makes of them', () => {
    expect(file('sprayout-a6')).toBe(definitionText(definitionOfLayout(CARD_LAYOUT)));
    expect(file('sprayout-strip-1')).toBe(definitionText(definitionOfLayout(STRIP_LAYOUTS[0])));
    expect(file('sprayout-strip-2')).toBe(definitionText(definitionOfLayout(STRIP_LAYOUTS[1])));
  });

  it('survive writing and reading', () => {
    for (const card of ALL) expect(parseCard(JSON.parse(definitionText(card)), 'again')).toEqual(card);
  });

  it('leave every tag a white quiet zone of one cell, an eighth of its side, free of patches and inside the card', () => {
    for (const card of ALL)
      for (const { corners_mm, id } of card.markers) {
        const side = corners_mm[1][0] - corners_mm[0][0];
        const quiet = side / 8;
        const zone = [
          corners_mm[0][0] - quiet,
          corners_mm[0][1] - quiet,
          side + 2 * quiet,
          side + 2 * quiet,
        ] as const;
        expect(zone[0]).toBeGreaterThanOrEqual(0);
        expect(zone[1]).toBeGreaterThanOrEqual(0);
        expect(zone[0] + zone[2]).toBeLessThanOrEqual(card.size_mm[0]);
        expect(zone[1] + zone[3]).toBeLessThanOrEqual(card.size_mm[1]);
        for (const patch of card.patches)
          expect(doOverlap(rectangle(zone), rectangle(patch.rect_mm), 0), `${id} and ${patch.id}`).toBe(
            false,
          );
      }
  });

  it('have patches of at least 9 mm, tags of 20 mm on the card and 10 to 12 mm on the strips', () => {
    for (const { patches } of ALL)
      for (const { rect_mm } of patches) expect(Math.min(rect_mm[2], rect_mm[3])).toBeGreaterThanOrEqual(9);
    for (const { corners_mm } of OWN_CARD.markers) expect(corners_mm[1][0] - corners_mm[0][0]).toBe(20);
    for (const { markers } of OWN_STRIPS)
      expect(markers[0].corners_mm[1][0] - markers[0].corners_mm[0][0]).toBe(12);
  });

  it('carry tags of different ids', () => {
    const ids = ALL.flatMap((c) => c.markers.map((m) => m.id));
    expect(new Set(ids).size).toBe(6);
  });

  it('show white and mid-grey along all four sides of the card', () => {
    const [w, h] = OWN_CARD.size_mm;
    const near = (patch: CardPatch, side: number): boolean => {
      const [x, y, pw, ph] = patch.rect_mm;
      return [x, y, w - x - pw, h - y - ph][side] < 5;
    };
    for (const side of [0, 1, 2, 3])
      for (const original of ['N1', 'N4'])
        expect(
          OWN_CARD.patches.filter((p) => p.replicate_of === original && near(p, side)).length,
        ).toBeGreaterThanOrEqual(2);
  });

  it('lend the strips the colours of the card that was printed on the same sheet', () => {
    const patches = OWN_CARD.patches.map((p) =>
      p.id === 'N4' ? { ...p, lab: [52, 1, 2] as [number, number, number], spectrum: undefined, u: 0.4 } : p,
    );
    const card = { ...OWN_CARD, source: 'measured', patches } as CardDefinition;
    const [strip] = stripsBeside(card);
    expect(strip.source).toBe('measured');
    for (const patch of strip.patches.filter((p) => p.replicate_of === 'N4')) {
      expect(patch.lab).toEqual([52, 1, 2]);
      expect(patch.u).toBe(0.4);
      expect(patch.spectrum).toBeUndefined();
    }
    expect(isOwnLayout(card)).toBe(true);
    expect(isOwnLayout(OWN_STRIPS[0])).toBe(false);
  });
});

/** The bench card with one thing changed. */
function changed(
  change: (
    card: Record<string, unknown> & {
      patches: Record<string, unknown>[];
      markers: Record<string, unknown>[];
    },
  ) => void,
): unknown {
  const card = structuredClone(OWN_CARD) as never;
  change(card);
  return card;
}

function refusal(json: unknown): SprayoutError {
  try {
    parseCard(json, 'mine.card.json');
  } catch (error) {
    expect(error).toBeInstanceOf(SprayoutError);
    return error as SprayoutError;
  }
  throw new Error('was accepted');
}

const CASES: readonly [string, unknown, RegExp][] = [
  ['no object', null, /mine\.card\.json/],
  ['another format', changed((c) => Object.assign(c, { format: 'card/9' })), /format/],
  ['two patches of one id', changed((c) => Object.assign(c.patches[3], { id: 'N1' })), /"N1" is there twice/],
  [
    'a patch outside the card',
    changed((c) => Object.assign(c.patches[6], { rect_mm: [140, 52, 13, 12] })),
    /"N7" lies outside/,
  ],
  [
    'a patch with negative width',
    changed((c) => Object.assign(c.patches[6], { rect_mm: [10, 52, -3, 12] })),
    /"N7".*rect_mm/,
  ],
  [
    'a patch upon a marker',
    changed((c) => Object.assign(c.patches[6], { rect_mm: [10, 10, 9, 9] })),
    /marker 101 overlaps patch "N7"/,
  ],
  [
    'a patch upon another',
    changed((c) => Object.assign(c.patches[6], { rect_mm: [30, 30, 9, 9] })),
    /"F1" overlaps patch "N7"/,
  ],
  [
    'a patch without a colour',
    changed((c) => Object.assign(c.patches[8], { lab: undefined, spectrum: undefined })),
    /"F2".*lab or a spectrum/,
  ],
  [
    'Lab out of range',
    changed((c) => Object.assign(c.patches[8], { lab: [950, 0, 0] })),
    /patch "F2": lab\[0\] must be at most 110/,
  ],
  [
    'Lab that is no number',
    changed((c) => Object.assign(c.patches[8], { lab: [Number.NaN, 0, 0] })),
    /patch "F2": lab\[0\] must be a number/,
  ],
  [
    'a rectangle of three figures',
    changed((c) => Object.assign(c.patches[8], { rect_mm: [30, 30, 9] })),
    /patch "F2": rect_mm must have at least 4 entries/,
  ],
  [
    'a source that nobody knows',
    changed((c) => Object.assign(c, { source: 'guessed' })),
    /source must be "nominal" or/,
  ],
  [
    'Lab and spectrum of different colours',
    changed((c) => Object.assign(c.patches[8], { lab: [20, 0, 0] })),
    /"F2".*apart/,
  ],
  [
    'a spectrum one value short',
    changed((c) =>
      Object.assign(c.patches[8], {
        lab: undefined,
        spectrum: { start_nm: 380, step_nm: 10, values: Array(35).fill(0.5) },
      }),
    ),
    /"F2".*35 values.*36/,
  ],
  [
    'a spectrum that ends in the green',
    changed((c) =>
      Object.assign(c.patches[8], {
        lab: undefined,
        spectrum: { start_nm: 380, step_nm: 10, values: Array(20).fill(0.5) },
      }),
    ),
    /"F2".*570 nm/,
  ],
  [
    'a patch that repeats one not there',
    changed((c) => Object.assign(c.patches[30], { replicate_of: 'X' })),
    /repeats "X"/,
  ],
  ['an unknown white', changed((c) => Object.assign(c, { white: 'D49/3' })), /white "D49\/3"/],
  [
    'overlapping markers',
    changed((c) =>
      Object.assign(c.markers[1], {
        corners_mm: [
          [10, 10],
          [30, 10],
          [30, 30],
          [10, 30],
        ],
      }),
    ),
    /marker 102 overlaps marker 101/,
  ],
  ['a marker twice', changed((c) => Object.assign(c.markers[1], { id: 101 })), /marker 101 is there twice/],
  [
    'a marker that the family lacks',
    changed((c) => Object.assign(c.markers[1], { id: 587 })),
    /marker 587 is not in the family/,
  ],
  [
    'a mirrored marker',
    changed((c) =>
      Object.assign(c.markers[0], {
        corners_mm: [
          [24, 4],
          [4, 4],
          [4, 24],
          [24, 24],
        ],
      }),
    ),
    /marker 101.*quadrilateral/,
  ],
  [
    'a marker outside the card',
    changed((c) =>
      Object.assign(c.markers[0], {
        corners_mm: [
          [-4, 4],
          [16, 4],
          [16, 24],
          [-4, 24],
        ],
      }),
    ),
    /marker 101.*outside/,
  ],
  [
    'no neutrals',
    changed((c) => Object.assign(c, { patches: c.patches.filter((p) => p.role === 'colour') })),
    /0 neutral patches/,
  ],
  [
    'no colours',
    changed((c) => Object.assign(c, { patches: c.patches.filter((p) => p.role === 'neutral') })),
    /0 colour patches/,
  ],
  [
    'a colour called neutral',
    changed((c) => Object.assign(c.patches[7], { role: 'neutral' })),
    /"F1" is called neutral/,
  ],
];

describe('a card file is refused for', () => {
  it.each(CASES)('%s', (_, json, message) => {
    const error = refusal(json);
    expect(error.code).toBe('card-invalid');
    expect(error.message).toMatch(message);
    expect(error.hint.length).toBeGreaterThan(10);
  });
});

describe('polygons', () => {
  it('that touch do not overlap; that share a corner’s area do', () => {
    const a = rectangle([0, 0, 10, 10]);
    expect(doOverlap(a, rectangle([10, 0, 5, 5]), 0)).toBe(false);
    expect(doOverlap(a, rectangle([9.9, 9.9, 5, 5]), 0.05)).toBe(true);
    expect(doOverlap(a, rectangle([2, 2, 3, 3]), 0)).toBe(true);
    const diamond: [number, number][] = [
      [14, 5],
      [19, 10],
      [14, 15],
      [9, 10],
    ];
    expect(isConvexClockwise(diamond)).toBe(true);
    expect(doOverlap(rectangle([0, 0, 11, 7.9]), diamond, 0)).toBe(false);
    expect(doOverlap(rectangle([0, 0, 12, 9]), diamond, 0)).toBe(true);
  });
});
