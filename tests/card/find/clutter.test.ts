import { describe, expect, it } from 'vitest';
import table from '../../../shared/tables/tag36h11.json' with { type: 'json' };
import { MOST_WRONG_BITS, nearestCode } from '../../../src/core/card/find/codes.ts';
import { findCards } from '../../../src/core/card/find/index.ts';
import { OWN_CARD, OWN_STRIPS } from '../../../src/core/card/own.ts';
import { type Random, seededRandom } from '../../../src/core/math/random.ts';
import { type Raster, srgbProfile } from '../../../src/core/photo/index.ts';

const PROFILE = srgbProfile(8);
const OURS = new Set([OWN_CARD, ...OWN_STRIPS].flatMap((c) => c.markers.map((m) => m.id)));

function cellsOf(id: number): Uint8Array {
  const code = BigInt(table.codes[id]);
  return Uint8Array.from({ length: 36 }, (_, i) => Number((code >> BigInt(35 - i)) & 1n));
}

function quarterTurned(cells: Uint8Array): Uint8Array {
  return Uint8Array.from(cells, (_, i) => cells[(i % 6) * 6 + 5 - Math.floor(i / 6)]);
}

describe('the codes of the 36h11 family', () => {
  it('differ from each other, and from themselves turned, in 11 bits or more (Olson 2011)', () => {
    const turned = table.codes.map((_, id) => {
      const all = [cellsOf(id)];
      for (let t = 1; t < 4; t++) all.push(quarterTurned(all[t - 1]));
      return all.map((cells) => [...cells].reduce((n, bit) => (n << 1n) | BigInt(bit), 0n));
    });
    const bits = (v: bigint): number => v.toString(2).replaceAll('0', '').length;
    let least = 36;
    for (let a = 0; a < turned.length; a += 7)
      for (let b = 0; b < turned.length; b++)
        for (let t = 0; t < 4; t++)
          if (a !== b || t > 0) least = Math.min(least, bits(turned[a][0] ^ turned[b][t]));
    expect(least).toBe(11);
  });

  it('are read in every turn, with up to three wrong bits', () => {
    const random = seededRandom(5);
    for (let id = 0; id < table.codes.length; id += 11) {
      let cells = cellsOf(id);
      // read from the next corner on, the tag's own top left is one corner farther back
      for (let turns = 0; turns < 4; turns++) {
        const spoilt = cells.slice();
        for (let k = 0; k < MOST_WRONG_BITS; k++)
          spoilt[(k * 12 + Math.floor(12 * random.uniform())) % 36] ^= 1;
        expect(nearestCode(spoilt)).toEqual({ id, turns: (4 - turns) % 4, wrongBits: MOST_WRONG_BITS });
        cells = quarterTurned(cells);
      }
    }
  });
});

/** A canvas of greys on which squares are painted pixel by pixel. */
class Canvas {
  readonly width = 480;
  readonly height = 360;
  readonly data = new Uint8Array(3 * 480 * 360);

  constructor(grey: number, random: Random, noise: number) {
    for (let i = 0; i < this.data.length; i += 3) this.paint(i, grey + noise * random.normal());
  }

  private paint(at: number, grey: number): void {
    this.data[at] = grey;
    this.data[at + 1] = grey;
    this.data[at + 2] = grey;
  }

  /** Paints where `inside` holds, no farther than `reach` from a place. */
  fill(x0: number, y0: number, reach: number, grey: number, inside: (x: number, y: number) => boolean): void {
    for (let y = Math.max(0, Math.floor(y0 - reach)); y < Math.min(this.height, y0 + reach); y++)
      for (let x = Math.max(0, Math.floor(x0 - reach)); x < Math.min(this.width, x0 + reach); x++)
        if (inside(x + 0.5, y + 0.5)) this.paint(3 * (y * this.width + x), grey);
  }

  raster(): Raster {
    return { width_px: this.width, height_px: this.height, bits: 8, data: this.data, profile: PROFILE };
  }
}

/** A turned square of 8 × 8 cells with a white zone around it. */
function stamp(canvas: Canvas, random: Random, isBlack: (column: number, row: number) => boolean): void {
  const cell = 5 + 6 * random.uniform();
  const turn = 2 * Math.PI * random.uniform();
  const x0 = canvas.width * random.uniform();
  const y0 = canvas.height * random.uniform();
  const [cos, sin] = [Math.cos(turn), Math.sin(turn)];
  const column = (x: number, y: number): number => (cos * (x - x0) + sin * (y - y0)) / cell + 4;
  const row = (x: number, y: number): number => (-sin * (x - x0) + cos * (y - y0)) / cell + 4;
  const within = (v: number, lo: number, hi: number): boolean => v >= lo && v < hi;
  const black = Array.from({ length: 64 }, (_, i) => isBlack(i % 8, Math.floor(i / 8)));
  const reach = 5 * Math.SQRT2 * cell + 1;
  canvas.fill(x0, y0, reach, 225, (x, y) => within(column(x, y), -1, 9) && within(row(x, y), -1, 9));
  canvas.fill(x0, y0, reach, 25, (x, y) => {
    const [u, v] = [column(x, y), row(x, y)];
    return within(u, 0, 8) && within(v, 0, 8) && black[8 * Math.floor(v) + Math.floor(u)];
  });
}

const isBorder = (c: number, r: number): boolean => c === 0 || r === 0 || c === 7 || r === 7;

describe('no card is found where there is none', () => {
  it('in 200 pictures of clutter: random codes, foreign tags, chequers, dark squares, noise', () => {
    const random = seededRandom(11);
    for (let i = 0; i < 200; i++) {
      const canvas = new Canvas(60 + 150 * random.uniform(), random, 2 + 12 * random.uniform());
      for (let k = 0; k < 5; k++) {
        const kind = Math.floor(4 * random.uniform());
        if (kind === 0) stamp(canvas, random, (c, r) => isBorder(c, r) || random.uniform() < 0.5);
        else if (kind === 1) stamp(canvas, random, (c, r) => (c + r) % 2 === 0);
        else if (kind === 2) stamp(canvas, random, () => true);
        else {
          let id = Math.floor(587 * random.uniform());
          while (OURS.has(id)) id = (id + 1) % 587;
          const cells = cellsOf(id);
          stamp(canvas, random, (c, r) => isBorder(c, r) || cells[(r - 1) * 6 + c - 1] === 0);
        }
      }
      expect(() => findCards(canvas.raster(), [OWN_CARD, ...OWN_STRIPS]), `picture ${i}`).toThrow(
        /No card|markers/,
      );
    }
  });

  it('when all four of its tags lie about, but not as they lie on the card', () => {
    const random = seededRandom(12);
    for (let i = 0; i < 10; i++) {
      const canvas = new Canvas(140, random, 3);
      for (const { id } of OWN_CARD.markers) {
        const cells = cellsOf(id);
        stamp(canvas, random, (c, r) => isBorder(c, r) || cells[(r - 1) * 6 + c - 1] === 0);
      }
      expect(() => findCards(canvas.raster(), [OWN_CARD])).toThrow();
    }
  });
});
