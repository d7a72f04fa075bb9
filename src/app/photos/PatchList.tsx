import type { JobPhoto } from '../../../shared/schemas/job.ts';
import { Checkbox, formatNumber } from '../ui/index.ts';
import type { PhotoReport } from '../worker/protocol.ts';
import { leaveOut } from './edits.ts';

interface PatchListProps {
  readonly photo: JobPhoto;
  readonly report: PhotoReport;
}

/** Every patch of the card: ticked when it is used. A stained or covered one is left out. */
export function PatchList({ photo, report }: PatchListProps) {
  const { worst_patch } = report.measured.card.check;
  const out = new Set(photo.leave_out);
  const used = report.patches.filter(({ id, leftOut }) => !leftOut && !out.has(id)).length;
  return (
    <fieldset className="photos-patches">
      <legend>
        Patches used: {used} of {report.patches.length}. Untick one that is stained, covered or mirrored; what
        plainly is stays out by itself. The number is how far off it is, as ΔE00.
      </legend>
      <div className="photos-patch-grid">
        {report.patches.map(({ id, leftOut, off_de00 }) => (
          <Checkbox
            key={id}
            isSelected={!leftOut && !out.has(id)}
            isDisabled={leftOut && !out.has(id)}
            onChange={(isUsed) => leaveOut(photo.id, id, !isUsed)}
          >
            <span>{id}</span>
            {off_de00 !== undefined && (
              <span
                className={id === worst_patch ? 'numbers photos-patch-off-most' : 'numbers photos-patch-off'}
              >
                {formatNumber(off_de00)}
              </span>
            )}
          </Checkbox>
        ))}
      </div>
    </fieldset>
  );
}
