import { useState } from 'react';
import type { Job } from '../../../shared/schemas/job.ts';
import type { Lights } from '../../core/lights/types.ts';
import { inWords, photoInWords } from '../photos/in-words.ts';
import { panelName } from '../store/index.ts';
import { Disclosure, formatInterval, formatNumber, Select } from '../ui/index.ts';
import { lightTitle } from './standings.ts';

interface PairsInLightsProps {
  readonly job: Job;
  readonly lights: Lights;
}

/** Any two panels from light to light. */
export function PairsInLights({ job, lights }: PairsInLightsProps) {
  const ids = lights.panels.map((p) => p.panel);
  const [first, setFirst] = useState<string>();
  const [second, setSecond] = useState<string>();
  const a = first !== undefined && ids.includes(first) ? first : ids[0];
  const b = second !== undefined && ids.includes(second) ? second : ids[1];
  if (ids.length < 2) return null;
  const pair = lights.pairs.find((p) => (p.a === a && p.b === b) || (p.a === b && p.b === a));
  const isAlone = (light: string): boolean => pair?.by_light.filter((l) => l.light === light).length === 1;
  const words = inWords(job, pair?.words ?? '');
  const choices = ids.map((id) => ({ id, words: panelName(job, id) }));
  return (
    <Disclosure title="Any two panels from light to light">
      <div className="lights-pair">
        <div className="lights-fields">
          <Select label="This one" value={a} choices={choices} onCommit={setFirst} />
          <Select label="beside" value={b} choices={choices} onCommit={setSecond} />
        </div>
        {a === b || !pair ? (
          <p>Choose two different panels.</p>
        ) : (
          <>
            <p>
              <strong>{words.charAt(0).toUpperCase() + words.slice(1)}.</strong>
            </p>
            <ul>
              {pair.by_light.map((l) => (
                <li key={l.photo} className="numbers">
                  {lightTitle(l.light)}
                  {isAlone(l.light) ? '' : ` (${photoInWords(job, l.photo)})`}: {formatNumber(l.de00)} ΔE00,{' '}
                  {formatInterval(l.interval95)}
                </li>
              ))}
            </ul>
          </>
        )}
      </div>
    </Disclosure>
  );
}
