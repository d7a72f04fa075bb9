/** What a painter may set for the search, and what it costs to leave the beaten track. */
export interface AdviseSettings {
  /** Whole parts of all tints together, at most. */
  readonly partsUpTo: number;
  readonly coatsFrom: number;
  readonly coatsUpTo: number;
  /** Parts of carrier to one of mix; those usual in the job and one step either side when left out. */
  readonly carriers?: readonly number[] | undefined;
  /** Ground ids that may be used; every measured one when left out. */
  readonly grounds?: readonly string[] | undefined;
  readonly suggestions: number;
  readonly prices: Prices;
}

/** Prices in ΔE2000: a recipe must come that much closer to be worth the trouble. */
export interface Prices {
  /** Adding to the pot; starting a new one because adding can't get there. */
  readonly addToPot: number;
  readonly newPot: number;
  readonly eachCoat: number;
  readonly changeGround: number;
  readonly changeLetdown: number;
}

export const PRICES: Prices = {
  addToPot: 0.08,
  newPot: 0.2,
  eachCoat: 0.02,
  changeGround: 0.1,
  changeLetdown: 0.04,
};

export const ADVISE_SETTINGS: AdviseSettings = {
  partsUpTo: 12,
  coatsFrom: 1,
  coatsUpTo: 8,
  suggestions: 5,
  prices: PRICES,
};
