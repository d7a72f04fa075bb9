/** The search for panels beside the command line: photos asked for here, answered by a thread. */
import { SHARE_ENV, Worker } from 'node:worker_threads';
import type { CardDefinition, CardOutline, PlacedCard } from '../core/card/types.ts';
import type { PlacedPanel } from '../core/panel/check.ts';
import type { PanelMaps } from '../core/panel/outline/maps.ts';
import { panelsBeside } from '../core/panel/search.ts';
import type { Raster } from '../core/photo/types.ts';

/** What was found in a photo. */
export interface FoundBeside {
  readonly panels: readonly PlacedPanel[];
  /** What the network saw; undefined where it could not be had. */
  readonly maps: PanelMaps | undefined;
}

/** Searches photos one after the other. */
export interface SearchBeside {
  /**
   * Begins on a photo. To be told the cards in it, when they are placed; the answer to that is waited for when there is nothing better
   * to do.
   */
  readonly begin: (raster: Raster) => (cards: readonly PlacedCard[]) => () => Promise<FoundBeside>;
  /** Waits until nothing is being searched or loaded: a process that ends in the midst of the network's native code crashes. */
  readonly atRest: () => Promise<void>;
}

/** What the thread is asked: where the cards lie, of the photo before; and to say when it has nothing more to do. */
export type Asked =
  | { readonly step: 'photo'; readonly raster: Raster }
  | { readonly step: 'cards'; readonly cards: readonly CardSent[] }
  | { readonly step: 'rest' };

/** As much of a placed card as can be sent. */
type CardSent = CardOutline & Pick<CardDefinition, 'size_mm'>;

/** Starts the thread, so that a photo is searched while its card is being read. */
export function startSearch(): SearchBeside {
  // built from start-search-thread.ts beside the part this ends in
  const thread = new Worker(new URL('./search-thread.cjs', import.meta.url), {
    // what the thread tells native code must reach it
    env: SHARE_ENV,
  });
  /** What is not answered yet, in the order it was asked for, which is that of the answers. */
  const open: ((found: FoundBeside | undefined) => void)[] = [];
  let isAlive = true;
  thread.on('message', (found: FoundBeside | undefined) => open.shift()?.(found));
  thread.once('error', () => {
    isAlive = false;
    for (const answer of open.splice(0)) answer(undefined);
  });
  // an answer that nobody waits for keeps no process from ending
  thread.unref();
  const ask = (asked: Asked): void => thread.postMessage(asked);
  /** Asks what is answered; undefined from a thread that has come to grief. */
  const answerTo = (asked: Asked): Promise<FoundBeside | undefined> =>
    new Promise((resolve) => {
      if (!isAlive) return resolve(undefined);
      open.push(resolve);
      ask(asked);
    });
  const waitFor = async <T>(answer: Promise<T>): Promise<T> => {
    thread.ref();
    const answered = await answer;
    thread.unref();
    return answered;
  };
  return {
    begin(raster) {
      if (isAlive) ask({ step: 'photo', raster: withSharedPixels(raster) });
      return (cards) => {
        const answer = answerTo({
          step: 'cards',
          cards: cards.map(({ corners_px, definition: { size_mm } }) => ({ corners_px, size_mm })),
        });
        return async () =>
          (await waitFor(answer)) ?? { panels: panelsBeside(raster, cards, undefined), maps: undefined };
      };
    },
    async atRest() {
      await waitFor(answerTo({ step: 'rest' }));
    },
  };
}

/** The same pixels where threads can share them, without what was rounded off, for which the search has no use. */
function withSharedPixels({ rounding, ...raster }: Raster): Raster {
  const { data } = raster;
  if (data.buffer instanceof SharedArrayBuffer) return raster;
  const memory = new SharedArrayBuffer(data.byteLength);
  const shared = data instanceof Uint8Array ? new Uint8Array(memory) : new Uint16Array(memory);
  shared.set(data);
  return { ...raster, data: shared };
}
