/** What belongs to this window and this person rather than to a job: theme, units, the cup, selection, what is announced. */
import { useStore } from 'zustand';
import { createStore } from 'zustand/vanilla';
import type { Tolerances } from '../../core/compare/tolerances.ts';

export type Theme = 'auto' | 'judging' | 'booth';
export type VolumeUnit = 'ml' | 'oz';

export interface SessionState {
  readonly theme: Theme;
  readonly volumeUnit: VolumeUnit;
  /** Step of the cup's marks; undefined when amounts are not rounded. */
  readonly marks_ml: number | undefined;
  /** For jobs that have none of their own; undefined for the published start. */
  readonly tolerances: Tolerances | undefined;
  /** The panel looked at on every screen; `target` for the target. */
  readonly selected: string | undefined;
  /** The photo looked at. */
  readonly photo: string | undefined;
  /** Photos whose light the painter leaves as it is, whatever the card reads: not asked again. */
  readonly lightsLeft: readonly string[];
  /** Said to screen readers, and shown for a while. */
  readonly told: { readonly words: string; readonly n: number } | undefined;
}

const KEPT = 'sprayout-settings';

function kept(): Partial<Pick<SessionState, 'theme' | 'volumeUnit' | 'marks_ml' | 'tolerances'>> {
  try {
    const { theme, volumeUnit, marks_ml, tolerances } = JSON.parse(
      localStorage.getItem(KEPT) ?? '{}',
    ) as Partial<SessionState>;
    return {
      ...(theme === 'judging' || theme === 'booth' ? { theme } : {}),
      ...(volumeUnit === 'ml' || volumeUnit === 'oz' ? { volumeUnit } : {}),
      ...(typeof marks_ml === 'number' && marks_ml > 0 ? { marks_ml } : {}),
      ...(isTolerances(tolerances) ? { tolerances } : {}),
    };
  } catch {
    return {};
  }
}

const isTolerances = (value: unknown): value is Tolerances => {
  const { seen, accepted } = (value ?? {}) as Partial<Tolerances>;
  return typeof seen === 'number' && typeof accepted === 'number' && seen > 0 && accepted >= seen;
};

export const sessionStore = createStore<SessionState>(() => ({
  theme: 'auto',
  volumeUnit: 'ml',
  marks_ml: undefined,
  tolerances: undefined,
  selected: undefined,
  photo: undefined,
  lightsLeft: [],
  told: undefined,
  ...kept(),
}));

export function useSession<T>(select: (state: SessionState) => T): T {
  return useStore(sessionStore, select);
}

function keep(): void {
  const { theme, volumeUnit, marks_ml, tolerances } = sessionStore.getState();
  try {
    localStorage.setItem(KEPT, JSON.stringify({ theme, volumeUnit, marks_ml, tolerances }));
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

/** Step of the marks on the painter's cup; undefined for no rounding. */
export function chooseMarks(marks_ml: number | undefined): void {
  sessionStore.setState({ marks_ml });
  keep();
}

/** Tolerances for jobs that have none of their own; undefined for the published start. */
export function chooseTolerances(tolerances: Tolerances | undefined): void {
  sessionStore.setState({ tolerances });
  keep();
}

/** Selects a panel everywhere: on the photo, in lists and in plots. */
export function selectPanel(selected: string | undefined): void {
  sessionStore.setState({ selected });
}

export function lookAtPhoto(photo: string | undefined): void {
  sessionStore.setState({ photo });
}

/** The light of these photos is as the painter says: it is not asked again. */
export function leaveLight(photos: readonly string[]): void {
  sessionStore.setState(({ lightsLeft }) => ({ lightsLeft: [...lightsLeft, ...photos] }));
}

/** Says something in passing: shown at the foot of the screen for a while, and read out. */
export function tell(words: string): void {
  sessionStore.setState(({ told }) => ({ told: { words, n: (told?.n ?? 0) + 1 } }));
}
