/** The marks of the painter's cup: they belong to the cup and not to a job, so this browser keeps them. */
import { useStore } from 'zustand';
import { createStore } from 'zustand/vanilla';

const KEPT = 'sprayout-cup-marks';

function kept(): number | undefined {
  try {
    const marks_ml: unknown = JSON.parse(localStorage.getItem(KEPT) ?? 'null');
    return typeof marks_ml === 'number' && marks_ml > 0 ? marks_ml : undefined;
  } catch {
    return undefined;
  }
}

const marksStore = createStore<{ readonly marks_ml: number | undefined }>(() => ({ marks_ml: kept() }));

/** Step of the cup's marks, ml; undefined when amounts are not rounded. */
export const useMarks = (): number | undefined => useStore(marksStore, (s) => s.marks_ml);

export function chooseMarks(marks_ml: number | undefined): void {
  marksStore.setState({ marks_ml });
  try {
    if (marks_ml === undefined) localStorage.removeItem(KEPT);
    else localStorage.setItem(KEPT, JSON.stringify(marks_ml));
  } catch {
    // a private window forgets the choice, no more
  }
}
