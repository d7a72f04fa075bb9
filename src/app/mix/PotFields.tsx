import type { Job } from '../../../shared/schemas/job.ts';
import { edit } from '../store/index.ts';
import { Button, NumberField, useVolume } from '../ui/index.ts';
import { describePot, emptyPot } from './pot.ts';
import { tintName } from './recipe-words.ts';

/** What is in the pot, and what the cup holds. */
export function PotFields({ job }: { readonly job: Job }) {
  const volume = useVolume();
  const { pot } = job;
  if (!pot)
    return (
      <section className="mix-side">
        <h2>The pot</h2>
        <p className="mix-why">Say what is mixed already, and you are told what to add to it.</p>
        <Button isDisabled={job.tints.length === 0} onPress={describePot}>
          There is a pot mixed
        </Button>
      </section>
    );
  return (
    <section className="mix-side">
      <h2>The pot</h2>
      <div className="mix-fields">
        {job.tints.map((tint) => (
          <NumberField
            key={tint.id}
            label={`Parts of ${tintName(job, tint.id)}`}
            value={pot.mix.parts[tint.id] ?? 0}
            min={0}
            max={1000}
            step={1}
            onCommit={(parts = 0) =>
              edit('Change the pot', (draft) => {
                if (draft.pot) draft.pot.mix.parts[tint.id] = parts;
              })
            }
          />
        ))}
        <NumberField
          label="Parts of carrier to one"
          value={pot.mix.carrier ?? 0}
          min={0}
          max={100}
          step={0.5}
          onCommit={(carrier = 0) =>
            edit('Change the pot', (draft) => {
              if (draft.pot) draft.pot.mix.carrier = carrier;
            })
          }
        />
        <NumberField
          label="In the pot"
          value={volume.toUnit(pot.volume_ml)}
          min={0.01}
          max={100_000}
          unit={volume.unit}
          onCommit={(amount) =>
            edit('Change the pot', (draft) => {
              if (draft.pot && amount) draft.pot.volume_ml = volume.toMl(amount);
            })
          }
        />
        <NumberField
          label="The cup holds"
          value={job.cup_ml === undefined ? undefined : volume.toUnit(job.cup_ml)}
          min={0.01}
          max={100_000}
          from={volume.toUnit(100)}
          unit={volume.unit}
          help="Left empty, size doesn’t matter."
          onCommit={(amount) =>
            edit('Change the cup', (draft) => {
              if (amount) draft.cup_ml = volume.toMl(amount);
              else delete draft.cup_ml;
            })
          }
        />
      </div>
      <Button kind="quiet" onPress={emptyPot}>
        The pot is empty
      </Button>
    </section>
  );
}
