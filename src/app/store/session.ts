/** What belongs to this window and this person rather than to a job: theme, units, selection, what is announced. */
import { useStore } from 'zustand';
import { createStore } from 'zustand/vanilla';

export type Theme = 'auto' | 'judging' | 'booth';
export type VolumeUnit = 'ml' | 'oz';

export interface SessionState {
  readonly theme: Theme;
  readonly volumeUnit: VolumeUnit;
  /** The panel looked at on every screen; `target` for the target. */
  readonly selected: string | undefined;
  /** The photo looked at. */
  readonly photo: string | undefined;
  /** Said to screen readers, and shown for a while. */
  readonly told: { readonly words: string; readonly n: number } | undefined;
}

const KEPT = 'sprayout-settings';

function kept(): Partial<Pick<SessionState, 'theme' | 'volumeUnit'>> {
  try {
    const { theme, volumeUnit } = JSON.parse(localStorage.getItem(KEPT) ?? '{}') as Partial<SessionState>;
    return {
      ...(theme === 'judging' || theme === 'booth' ? { theme } : {}),
      ...(volumeUnit === 'ml' || volumeUnit === 'oz' ? { volumeUnit } : {}),
    };
  } catch {
    return {};
  }
}

export const sessionStore = createStore<SessionState>(() => ({
  theme: 'auto',
  volumeUnit: 'ml',
  selected: undefined,
  photo: undefined,
  told: undefined,
  ...kept(),
}));

export function useSession<T>(select: (state: SessionState) => T): T {
  return useStore(sessionStore, select);
}

function keep(): void {
  const { theme, volumeUnit } = sessionStore.getState();
  try {
    localStorage.setItem(KEPT, JSON.stringify({ theme, volumeUnit }));
  } catch {
    // a private window forgets the choice, no more
  }
}

export function chooseTheme(theme: Theme): void {
  sessionStore.setState({ theme });
  keep();
}

export function chooseVolumeUnit(volumeUnit: VolumeUnit): void {
  sessionStore.setState({ volumeUnit });
  keep();
}

/** Selects a panel everywhere: on the photo, in lists and in plots. */
export function selectPanel(selected: string | undefined): void {
  sessionStore.setState({ selected });
}

export function lookAtPhoto(photo: string | undefined): void {
  sessionStore.setState({ photo });
}

/** Says something in passing: shown at the foot of the screen for a while, and read out. */
export function tell(words: string): void {
  sessionStore.setState(({ told }) => ({ told: { words, n: (told?.n ?? 0) + 1 } }));
}
