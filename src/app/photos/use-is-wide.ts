import { useSyncExternalStore } from 'react';

/** Where figures stand beside the photo, as in the screen's own layout. */
const WIDE = '(min-width: 960px)';

const subscribe = (changed: () => void): (() => void) => {
  const query = matchMedia(WIDE);
  query.addEventListener('change', changed);
  return () => query.removeEventListener('change', changed);
};

export const useIsWide = (): boolean => useSyncExternalStore(subscribe, () => matchMedia(WIDE).matches);
