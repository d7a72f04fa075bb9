/** The area that is being read: where its arrays lie, and the verdicts on its pixels. */

// what lies where, in the order of `use`

export let spans: u32 = 0;
/** Encoded values of the spans' pixels, one span behind the other. */
export let codes: u32 = 0;
export let matrix: u32 = 0;
export let curves: u32 = 0;
export let clips: u32 = 0;
export let slopes: u32 = 0;
export let offsets: u32 = 0;
export let toStored: u32 = 0;
export let xs: u32 = 0;
export let ys: u32 = 0;
export let us: u32 = 0;
export let vs: u32 = 0;
/** Root values: three times `room` f32. */
export let roots: u32 = 0;
export let weights: u32 = 0;
export let kinds: u32 = 0;
export let clipped: u32 = 0;
export let tileOf: u32 = 0;
/** Per tile: pixels, sums of u, v, and of the three roots; f64 each. */
export let tiles: u32 = 0;
export let bins: u32 = 0;
/** Numbers handed back, f64. */
export let out: u32 = 0;
/** Sums by block, see `AreaSums`. */
export let blocks: u32 = 0;
/** Pixels that there is room for. */
export let room: u32 = 0;

export const SOUND: u8 = 0;
export const GLARE: u8 = 1;
export const DUST: u8 = 2;
/** A bright speck, before it is known how many there are. */
export const BRIGHT: u8 = 3;

/** Takes over a list of addresses, u32 each. */
export function use(table: u32, pixels: u32): void {
  spans = load<u32>(table);
  codes = load<u32>(table, 4);
  matrix = load<u32>(table, 8);
  curves = load<u32>(table, 12);
  clips = load<u32>(table, 16);
  slopes = load<u32>(table, 20);
  offsets = load<u32>(table, 24);
  toStored = load<u32>(table, 28);
  xs = load<u32>(table, 32);
  ys = load<u32>(table, 36);
  us = load<u32>(table, 40);
  vs = load<u32>(table, 44);
  roots = load<u32>(table, 48);
  weights = load<u32>(table, 52);
  kinds = load<u32>(table, 56);
  clipped = load<u32>(table, 60);
  tileOf = load<u32>(table, 64);
  tiles = load<u32>(table, 68);
  bins = load<u32>(table, 72);
  out = load<u32>(table, 76);
  blocks = load<u32>(table, 80);
  room = pixels;
}

/** Adds to a number in memory. */
export function add(at: u32, value: f64): void {
  store<f64>(at, load<f64>(at) + value);
}
