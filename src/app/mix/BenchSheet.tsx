import { useEffect, useState } from 'react';
import type { Job } from '../../../shared/schemas/job.ts';
import type { Recipe } from '../../core/film/index.ts';
import { CAUTIONS } from '../../core/mix/cautions.ts';
import { correctPot } from '../../core/mix/pot.ts';
import { potOf } from '../../core/study/names.ts';
import { goTo } from '../shell/route.ts';
import { edit, selectPanel, tell, useDocument } from '../store/index.ts';
import { Button, formatNumber, NumberField, Screen, useVolume } from '../ui/index.ts';
import { markSprayed } from './plan.ts';
import { ratioWords, restWords, tintName } from './recipe-words.ts';
import { Ticks } from './Ticks.tsx';
import { useSheet } from './use-sheet.ts';

interface BenchSheetProps {
  readonly job: Job;
  readonly recipe: Recipe;
  readonly onBack: () => void;
}

/** The sheet for the bench: what to pour, then what to do, ticked off as it is done. Prints on one page. */
export function BenchSheet({ job, recipe, onBack }: BenchSheetProps) {
  const id = useDocument((d) => d.id);
  const volume = useVolume();
  useEffect(() => scrollTo(0, 0), []);
  const [marks_ml, setMarks] = useState<number | undefined>(undefined);
  const pot = potOf(job);
  const goal = { parts: recipe.parts, carrier: recipe.carrier };
  const corrected = pot && correctPot(pot, goal, { cup_ml: job.cup_ml });
  const fromPot = corrected && !('impossible' in corrected) ? corrected : undefined;
  const paint_ml = fromPot ? (fromPot.fits ? fromPot.final_ml : job.cup_ml) : undefined;
  const wanted_ml = job.next?.volume_ml ?? (paint_ml ?? 100) * (1 + recipe.reducer_pct / 100);
  const { sheet, rounding } = useSheet(job, recipe, wanted_ml, marks_ml);
  return (
    <Screen
      sentence={`${ratioWords(job, recipe.parts)}.`}
      detail={`${restWords(job, recipe).replace(/^./, (c) => c.toUpperCase())}.`}
      aside={
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
            unit={volume.unit}
            help="Amounts are rounded to them."
            onCommit={(step) => setMarks(step === undefined ? undefined : volume.toMl(step))}
          />
          {rounding !== undefined && marks_ml !== undefined && (
            <p>
              Rounding moves the colour by {formatNumber(rounding)}
              {rounding > 0.5 ? ': measure finer, or mix more.' : '.'}
            </p>
          )}
        </section>
      }
      next={
        <>
          <Button
            kind="primary"
            onPress={async () => {
              const panel = await markSprayed(job, recipe);
              selectPanel(panel);
              tell('The panel is in the job with its recipe. Photograph it beside the card.');
              goTo('photos', id);
            }}
          >
            Sprayed: photograph it
          </Button>
          <Button onPress={() => print()}>Print the sheet</Button>
          <Button kind="quiet" onPress={onBack}>
            Back to the advice
          </Button>
        </>
      }
    >
      {fromPot && fromPot.additions.length > 0 && (
        <section className="mix-sheet">
          <h2>
            {fromPot.fits
              ? `Into the ${volume.write(pot?.volume_ml ?? 0)} that are in the pot`
              : `Into ${volume.write(fromPot.take_ml)} of the pot`}
          </h2>
          <Amounts
            rows={fromPot.additions.map(({ what, ml }) => [
              tintName(job, what),
              volume.write((ml * fromPot.take_ml) / (pot?.volume_ml ?? 1)),
            ])}
          />
          <Button
            onPress={() =>
              edit('The pot is corrected', (draft) => {
                draft.pot = {
                  mix: { parts: { ...recipe.parts }, carrier: recipe.carrier },
                  volume_ml: paint_ml ?? fromPot.final_ml,
                };
              })
            }
          >
            Poured: the pot is right now
          </Button>
        </section>
      )}
      {sheet && (
        <section className="mix-sheet">
          <h2>{fromPot ? 'Or mixed anew' : 'Pour'}</h2>
          <Amounts
            rows={[
              ...sheet.lines.map((l): [string, string] => [tintName(job, l.what), volume.write(l.ml)]),
              ['in all', volume.write(sheet.total_ml)],
            ]}
          />
          {sheet.warnings.map((w) => (
            <p key={w.message} className="mix-why">
              {w.message}
            </p>
          ))}
        </section>
      )}
      <section className="mix-sheet">
        <h2>Then</h2>
        <Ticks
          job={job}
          steps={[
            ...(sheet?.steps ?? []).map((words, i) => ({ id: `step-${i + 1}`, words })),
            ...Array.from({ length: recipe.coats }, (_, i) => ({
              id: `coat-${i + 1}`,
              words: `Coat ${i + 1} of ${recipe.coats}`,
            })),
            ...(recipe.clear ? [{ id: 'clear', words: 'Clear, and let it cure before you judge' }] : []),
          ]}
        />
        <p className="mix-why">
          Steps and limits of the trade are common practice, no source: the product’s own sheet goes first.
        </p>
      </section>
      <section className="mix-sheet mix-cautions">
        <h2>Mind</h2>
        <ul>
          {CAUTIONS.filter((c) => c.at !== 'spraying' || recipe.clear).map((c) => (
            <li key={c.at}>{c.message}</li>
          ))}
        </ul>
      </section>
    </Screen>
  );
}

function Amounts({ rows }: { readonly rows: readonly (readonly [string, string])[] }) {
  return (
    <dl className="mix-amounts numbers">
      {rows.map(([what, amount]) => (
        <div key={what}>
          <dt>{what}</dt>
          <dd>{amount}</dd>
        </div>
      ))}
    </dl>
  );
}
