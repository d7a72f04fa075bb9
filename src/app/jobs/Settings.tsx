import { DEFAULT_TOLERANCES, type Tolerances } from '../../core/compare/tolerances.ts';
import {
  chooseTheme,
  chooseTolerances,
  chooseVolumeUnit,
  type Theme,
  useSession,
  type VolumeUnit,
} from '../store/index.ts';
import { Button, formatNumber, Select, ToleranceInputs } from '../ui/index.ts';
import { PrintCard } from './PrintCard.tsx';

/** What holds for every job of this device. */
export function Settings() {
  const theme = useSession((s) => s.theme);
  const unit = useSession((s) => s.volumeUnit);
  const own = useSession((s) => s.tolerances);
  const tolerances = own ?? DEFAULT_TOLERANCES;
  const set = (part: Partial<Tolerances>): void => {
    const next = { ...tolerances, ...part };
    // a difference is seen before it is refused
    chooseTolerances(
      part.seen === undefined
        ? { ...next, seen: Math.min(next.seen, next.accepted) }
        : { ...next, accepted: Math.max(next.seen, next.accepted) },
    );
  };
  return (
    <section className="jobs-settings">
      <h2>Settings</h2>
      <Select
        label="Surroundings"
        value={theme}
        choices={[
          { id: 'auto', words: 'As the device' },
          { id: 'judging', words: 'Judging, mid grey' },
          { id: 'booth', words: 'Booth, dark grey' },
        ]}
        onCommit={(id) => chooseTheme(id as Theme)}
      />
      <Select
        label="Amounts in"
        value={unit}
        choices={[
          { id: 'ml', words: 'Millilitres' },
          { id: 'oz', words: 'US fluid ounces' },
        ]}
        onCommit={(id) => chooseVolumeUnit(id as VolumeUnit)}
      />
      <ToleranceInputs tolerances={tolerances} onCommit={set} />
      <p className="field-help">
        The last two hold for jobs that have none of their own, and go into their copies. A start, not a
        standard: half of the observers of a dental study saw a difference of{' '}
        {formatNumber(DEFAULT_TOLERANCES.seen)}, half accepted one of{' '}
        {formatNumber(DEFAULT_TOLERANCES.accepted)} (Paravina and others, 2015).
      </p>
      {own && (
        <div>
          <Button kind="quiet" onPress={() => chooseTolerances(undefined)}>
            Back to that start
          </Button>
        </div>
      )}
      <PrintCard />
    </section>
  );
}
