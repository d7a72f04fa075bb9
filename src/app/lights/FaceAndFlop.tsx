import type { Job } from '../../../shared/schemas/job.ts';
import type { Lights } from '../../core/lights/types.ts';
import { inWords } from '../photos/in-words.ts';
import { panelName } from '../store/index.ts';
import { formatInterval, formatNumber, SplitSwatch } from '../ui/index.ts';

interface FaceAndFlopProps {
  readonly job: Job;
  readonly lights: Lights;
}

/** Panels photographed square-on and turned away. */
export function FaceAndFlop({ job, lights }: FaceAndFlopProps) {
  if (lights.travel.length === 0) return null;
  return (
    <section className="lights-list">
      <h2>Face and flop</h2>
      {lights.travel.map((t) => (
        <div key={`${t.panel} ${t.face.photo} ${t.flop.photo}`} className="lights-travel">
          <SplitSwatch
            white={job.white}
            left={{ name: `${panelName(job, t.panel)}, face`, lab: t.face.lab }}
            right={{ name: 'from the side', lab: t.flop.lab }}
          />
          <strong>{panelName(job, t.panel)}</strong>
          <span>{inWords(job, t.words)}</span>
          <span className="numbers">
            {formatNumber(t.de00)} ΔE00, {formatInterval(t.interval95)}
          </span>
        </div>
      ))}
    </section>
  );
}
