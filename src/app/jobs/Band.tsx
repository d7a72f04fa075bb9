import type { Job } from '../../../shared/schemas/job.ts';
import type { Lab, WhiteName } from '../../core/color/index.ts';
import type { ColoursRow } from '../library/database.ts';
import { screenPaint } from '../ui/index.ts';
import { count } from './words.ts';

/** More would be too thin to tell apart. */
const MOST = 40;

/** The colours of a job in a thin band: the target, then every panel in the job's order. */
export function Band({ job, colours }: { readonly job: Job; readonly colours: ColoursRow }) {
  const { ids, lab, target } = colours;
  const white = colours.white as WhiteName;
  const panels = job.panels.flatMap(({ id }) => {
    const at = ids.indexOf(id);
    return at < 0 ? [] : [{ id, lab: [lab[3 * at], lab[3 * at + 1], lab[3 * at + 2]] as Lab }];
  });
  if (panels.length === 0 && !target) return null;
  const words = [
    ...(target ? ['the target'] : []),
    ...(panels.length > 0 ? [count(panels.length, 'panel')] : []),
  ];
  return (
    <span className="jobs-band" role="img" aria-label={`Colours of ${words.join(' and ')}`}>
      {target && <span className="jobs-band-target" style={{ background: screenPaint(target, white).css }} />}
      {panels.slice(0, MOST).map((p) => (
        <span key={p.id} style={{ background: screenPaint(p.lab, white).css }} />
      ))}
    </span>
  );
}
