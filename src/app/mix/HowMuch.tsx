import { chooseMarks, edit } from '../store/index.ts';
import { NumberField, useVolume } from '../ui/index.ts';

interface HowMuchProps {
  readonly wanted_ml: number;
  readonly marks_ml: number | undefined;
}

/** How much is wanted, and how finely the cup measures it. */
export function HowMuch({ wanted_ml, marks_ml }: HowMuchProps) {
  const volume = useVolume();
  return (
    <section className="mix-side mix-not-printed">
      <h2>How much</h2>
      <NumberField
        label="Ready to spray"
        value={volume.toUnit(wanted_ml)}
        min={0.1}
        max={100_000}
        unit={volume.unit}
        digits={volume.unit === 'oz' ? 2 : 0}
        onCommit={(amount) =>
          edit('Change how much to mix', (draft) => {
            if (!draft.next) return;
            if (amount) draft.next.volume_ml = volume.toMl(amount);
            else delete draft.next.volume_ml;
          })
        }
      />
      <NumberField
        label="Marks of the cup"
        value={marks_ml === undefined ? undefined : volume.toUnit(marks_ml)}
        min={0.01}
        max={1000}
        from={volume.toUnit(1)}
        unit={volume.unit}
        help="Amounts are rounded to them. Kept for every job; leave empty for no rounding."
        onCommit={(step) => chooseMarks(step === undefined ? undefined : volume.toMl(step))}
      />
    </section>
  );
}
