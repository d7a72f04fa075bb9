import { setFlagsFromString } from 'node:v8';
import { Worker } from 'node:worker_threads';
import type { PanelMaps } from '../core/panel/outline/maps.ts';
import type { Raster } from '../core/photo/types.ts';

/** Asks for the network's maps of a photo or a smaller copy of it; undefined when there is no network to be had. */
export type FinderBeside = (raster: Raster) => Promise<PanelMaps | undefined>;

/**
 * Starts loading the panel finder on a thread of its own, so that the photo is decoded and the card read meanwhile.
 * Ask for one photo at a time. A thread that has nothing to do keeps no process from ending.
 */
export function startFinder(): FinderBeside {
  // The optimising compiler would be at the runtime's 14 MB for longer than the network takes for several photos, and
  // a process ends only when its compiler has.
  setFlagsFromString('--liftoff-only');
  // built from finder-thread.ts beside the part this ends in
  const thread = new Worker(new URL('./finder-thread.js', import.meta.url));
  let isAlive = true;
  thread.once('error', () => {
    isAlive = false;
  });
  thread.unref();
  return (raster) =>
    new Promise((resolve) => {
      if (!isAlive) return resolve(undefined);
      thread.ref();
      const answer = (maps?: PanelMaps): void => {
        thread.off('message', answer).off('error', fail);
        thread.unref();
        resolve(maps);
      };
      const fail = (): void => answer();
      thread.on('message', answer).on('error', fail);
      thread.postMessage(raster);
    });
}
