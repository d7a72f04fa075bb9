/** A setting of everything unknown, each standard normal beforehand. */
export interface Unknowns {
  /** The model's, `FilmModel.size`. */
  readonly x: Float64Array;
  /** Each panel's ln film amount, in standard deviations of the hand, in the order of the observations. */
  readonly hands: Float64Array;
  /** Three for each group. */
  readonly shared: Float64Array;
}
