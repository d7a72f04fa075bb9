/** Which panel Match shows: one chosen here, or by a link to it. What was selected on a photo is no choice here. */
import { useStore } from 'zustand';
import { createStore } from 'zustand/vanilla';
import { selectPanel } from '../store/index.ts';

const chosenStore = createStore<{ readonly job?: string | undefined; readonly panel?: string }>(() => ({}));

/** Shows a panel of a job on Match from now on, and selects it everywhere. */
export function showOnMatch(job: string | undefined, panel: string): void {
  chosenStore.setState({ job, panel });
  selectPanel(panel);
}

/** The panel to show; undefined for the closest. */
export function useShownOnMatch(job: string | undefined): string | undefined {
  return useStore(chosenStore, (s) => (s.job === job ? s.panel : undefined));
}
