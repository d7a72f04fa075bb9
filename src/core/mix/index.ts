/** Mixing: correcting a pot, the mixing sheet, and the trade's limits and cautions as data. */
export { CARRIER, NOT_TINTS, REDUCER } from '../job/names.ts';
export { CAUTIONS, type Caution } from './cautions.ts';
export {
  type Addition,
  amountsIn,
  correctPot,
  type Pot,
  type PotCorrection,
  type PotImpossible,
  type PotMix,
  type PotOptions,
  reducerFor,
  roomForPaint,
} from './pot.ts';
export { PRACTICE, PRACTICE_SOURCE, type Practice, parsePractice } from './practice.ts';
export {
  type MixingSheet,
  mixingSheet,
  type SheetLine,
  type SheetRequest,
  toMark,
  volumeFor,
} from './sheet.ts';
