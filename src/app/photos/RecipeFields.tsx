import { useRef } from 'react';
import type { Job, JobPanel } from '../../../shared/schemas/job.ts';
import { Checkbox, NumberField } from '../ui/index.ts';
import { AddName } from './AddName.tsx';
import { Chips } from './Chips.tsx';
import { addGround, addTint, changePanel, setCoats, setParts } from './edits.ts';
import { useGoOn } from './use-go-on.ts';

interface RecipeFieldsProps {
  readonly job: Job;
  readonly panel: JobPanel;
}

/** What was sprayed: ground, parts of each tint, carrier, reducer, coats, clear. */
export function RecipeFields({ job, panel }: RecipeFieldsProps) {
  const { id, mix } = panel;
  const isBare = panel.coats === 0;
  const grounds = useRef<HTMLDivElement>(null);
  const tints = useRef<HTMLDivElement>(null);
  const toGround = useGoOn(
    job.grounds.map((g) => g.id),
    () => grounds.current?.querySelector<HTMLElement>('[aria-checked="true"]'),
  );
  const toTint = useGoOn(
    job.tints.map((t) => t.id),
    (added) => {
      const index = job.tints.findIndex((t) => t.id === added);
      return tints.current?.children[index]?.querySelector('input');
    },
  );
  return (
    <>
      <div className="photos-sheet-group" ref={grounds}>
        {job.grounds.length > 0 && (
          <Chips
            label="Ground"
            isLabelShown
            chosen={panel.ground}
            chips={job.grounds.map((g) => ({ id: g.id, words: g.name ?? g.id }))}
            onChoose={(ground) =>
              changePanel('Ground', id, (p) => {
                p.ground = ground;
              })
            }
          />
        )}
        <AddName
          word="ground"
          isOpen={job.grounds.length === 0}
          onAdd={(name) => {
            toGround();
            addGround(name, id);
          }}
        />
      </div>
      <NumberField
        label="Coats"
        value={panel.coats}
        min={0}
        max={100}
        step={1}
        from={1}
        digits={0}
        help={isBare ? 'None: the bare ground.' : undefined}
        onCommit={(coats) => setCoats(id, coats)}
      />
      {!isBare && (
        <div className="photos-sheet-group">
          <div className="photos-field-row" ref={tints}>
            {job.tints.map((tint) => (
              <NumberField
                key={tint.id}
                label={`Parts of ${tint.name ?? tint.id}`}
                value={mix?.parts[tint.id] ?? 0}
                min={0}
                max={10_000}
                onCommit={(parts) => setParts(id, tint.id, parts ?? 0)}
              />
            ))}
          </div>
          <AddName
            word="tint"
            isOpen={job.tints.length === 0}
            onAdd={(name) => {
              toTint();
              addTint(name);
            }}
          />
          <div className="photos-field-row">
            <NumberField
              label="Carrier, parts to one"
              value={mix?.carrier}
              min={0}
              max={1000}
              isDisabled={!mix}
              help={mix ? undefined : 'First the parts of a tint.'}
              onCommit={(carrier) =>
                changePanel('Carrier', id, (p) => {
                  if (!p.mix) return;
                  if (carrier === undefined) delete p.mix.carrier;
                  else p.mix.carrier = carrier;
                })
              }
            />
            <NumberField
              label="Reducer"
              unit="%"
              value={panel.reducer_pct}
              min={0}
              max={100}
              isDisabled={!mix && panel.reducer_pct === undefined}
              help={mix ? undefined : 'First the parts of a tint.'}
              onCommit={(reducer) =>
                changePanel('Reducer', id, (p) => {
                  if (reducer === undefined) delete p.reducer_pct;
                  else p.reducer_pct = reducer;
                })
              }
            />
          </div>
        </div>
      )}
      <Checkbox
        isSelected={panel.clear ?? false}
        onChange={(clear) =>
          changePanel('Clear', id, (p) => {
            p.clear = clear;
          })
        }
      >
        Clear coat on it
      </Checkbox>
    </>
  );
}
