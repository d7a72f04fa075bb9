/** The card to print, drawn in the worker: the project's own with its grey strips, as the command line draws it. */
import { drawCardPdf, type Paper } from '../../core/card/draw/index.ts';
import { OWN_CARD, OWN_STRIPS } from '../../core/card/own.ts';

export const cardPage = (paper: Paper): Promise<Uint8Array> =>
  drawCardPdf([OWN_CARD, ...OWN_STRIPS], { paper });
