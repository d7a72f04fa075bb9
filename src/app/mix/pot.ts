/** The pot that is mixed, as the job keeps it. */
import type { Mix } from '../../../shared/schemas/job.ts';
import { edit } from '../store/index.ts';

/** A mix by itself, so that the pot goes its own way when a panel's recipe is changed. */
const copyOf = (mix: Mix): Mix => ({ ...mix, parts: { ...mix.parts } });

/** There is a pot: of the mix sprayed last, most likely. */
export const describePot = (): Promise<void> =>
  edit('Describe the pot', (draft) => {
    const last = draft.panels.findLast((p) => p.mix)?.mix;
    draft.pot = {
      mix: last ? copyOf(last) : { parts: { [draft.tints[0].id]: 1 }, carrier: 5 },
      volume_ml: 100,
    };
  });

export const emptyPot = (): Promise<void> =>
  edit('Empty the pot', (draft) => {
    delete draft.pot;
  });
