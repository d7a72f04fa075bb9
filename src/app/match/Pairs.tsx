import { useState } from 'react';
import type { Job } from '../../../shared/schemas/job.ts';
import { type Comparison, compareTwo } from '../../core/compare/index.ts';
import { latestOf, panelName, useResults } from '../store/index.ts';
import { Disclosure, Figure, Select, SplitSwatch } from '../ui/index.ts';
import { verdictSentence } from './sentences.ts';

interface PairsProps {
  readonly job: Job;
  readonly comparison: Comparison;
}

/** Any two panels held together. */
export function Pairs({ job, comparison }: PairsProps) {
  const colours = latestOf(useResults((r) => r.colours));
  const ids = comparison.panels.map((p) => p.id).filter((id) => colours?.colours.ids.includes(id));
  const [first, setFirst] = useState<string>();
  const [second, setSecond] = useState<string>();
  const a = first !== undefined && ids.includes(first) ? first : ids[0];
  const b = second !== undefined && ids.includes(second) ? second : ids[1];
  if (ids.length < 2 || !colours) return null;
  const choices = ids.map((id) => ({ id, words: panelName(job, id) }));
  const ensemble = colours.colours;
  const [i, j] = [ensemble.ids.indexOf(a), ensemble.ids.indexOf(b)];
  const difference = compareTwo(ensemble, i, j, {
    tolerances: comparison.tolerances,
    doubts: colours.doubts,
  });
  const names = [panelName(job, a), panelName(job, b)];
  return (
    <Disclosure title="Any two panels together" startsOpen={!job.target}>
      <div className="match-pair">
        <div className="match-pair-fields">
          <Select label="This one" value={a} choices={choices} onCommit={setFirst} />
          <Select label="beside" value={b} choices={choices} onCommit={setSecond} />
        </div>
        <SplitSwatch
          white={comparison.white}
          left={{ name: names[0], lab: ensemble.lab[i] }}
          right={{ name: names[1], lab: ensemble.lab[j] }}
          isLarge
        />
        {a !== b && (
          <>
            <Figure
              label="They are apart by"
              value={difference.de00}
              unit="ΔE00"
              interval={difference.interval95}
            />
            <p>
              {difference.direction && `${names[0]} is ${difference.direction}. `}
              {verdictSentence(difference)}
            </p>
          </>
        )}
      </div>
    </Disclosure>
  );
}
