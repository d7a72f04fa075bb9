import type { Warning } from '../../errors.ts';

/** Said wherever the trained finder is not at hand and the plain one has to do. */
export const FINDER_MISSING: Warning = {
  code: 'finder-missing',
  message:
    'The trained panel finder could not be loaded, so panels were found by a plainer rule: look at the outlines, or give their corners.',
};
