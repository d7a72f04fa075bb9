/** Where the app is: `#/PLACE/JOB`, or `#/jobs`. The address can be kept, sent and gone back to. */
import { useSyncExternalStore } from 'react';

/** The five places, in the painter's order. */
export const PLACES = ['photos', 'match', 'mix', 'lights', 'board'] as const;
export type Place = (typeof PLACES)[number];

export interface Route {
  readonly place: Place | 'jobs';
  /** Key of the job; undefined on the page of all jobs. */
  readonly job: string | undefined;
}

export function parseRoute(hash: string): Route {
  const [place, job] = hash.replace(/^#\/?/, '').split('/');
  const known = PLACES.find((p) => p === place);
  return known && job ? { place: known, job: decodeURIComponent(job) } : { place: 'jobs', job: undefined };
}

/** Address of a place of a job, for links. */
export const addressOf = (place: Place | 'jobs', job?: string): string =>
  place === 'jobs' || job === undefined ? '#/jobs' : `#/${place}/${encodeURIComponent(job)}`;

export function goTo(place: Place | 'jobs', job?: string): void {
  location.hash = addressOf(place, job);
}

const subscribe = (changed: () => void): (() => void) => {
  addEventListener('hashchange', changed);
  return () => removeEventListener('hashchange', changed);
};

let last = { hash: '', route: parseRoute('') };

function current(): Route {
  if (last.hash !== location.hash) last = { hash: location.hash, route: parseRoute(location.hash) };
  return last.route;
}

export function useRoute(): Route {
  return useSyncExternalStore(subscribe, current);
}
