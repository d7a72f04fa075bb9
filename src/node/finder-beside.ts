/** The panel finder's network beside the command line: photos asked for here, answered by a thread. */
import { setFlagsFromString } from 'node:v8';
import { Worker } from 'node:worker_threads';
import type { PanelMaps } from '../core/panel/outline/maps.ts';
import type { Raster } from '../core/photo/types.ts';

/**
 * Asks for the network's maps of a photo or a smaller copy of it, and gives what waits for them: undefined when there is
 * no network to be had. An answer that nobody waits for keeps no process from ending.
 */
export type FinderBeside = (raster: Raster) => () => Promise<PanelMaps | undefined>;

type Maps = PanelMaps | undefined;

/** Starts loading the panel finder on a thread of its own, so that the photo is decoded and the card read meanwhile. */
export function startFinder(): FinderBeside {
  // The optimising compiler would be at the runtime's 14 MB for longer than the network takes for several photos, and
  // a process ends only when its compiler has.
  setFlagsFromString('--liftoff-only');
  // built from finder-thread.ts beside the part this ends in
  const thread = new Worker(new URL('./finder-thread.js', import.meta.url));
  /** Photos not answered yet, in the order they were asked for, which is that of the answers. */
  const open: ((maps: Maps) => void)[] = [];
  let isAlive = true;
  thread.on('message', (maps: Maps) => open.shift()?.(maps));
  thread.once('error', () => {
    isAlive = false;
    for (const answer of open.splice(0)) answer(undefined);
  });
  thread.unref();
  return (raster) => {
    const answered = new Promise<Maps>((resolve) => {
      if (!isAlive) return resolve(undefined);
      open.push(resolve);
      // the network has no use for what was rounded off
      thread.postMessage({ ...raster, rounding: undefined });
    });
    return async () => {
      thread.ref();
      const maps = await answered;
      thread.unref();
      return maps;
    };
  };
}
