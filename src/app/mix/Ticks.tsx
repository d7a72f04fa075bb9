import type { Job } from '../../../shared/schemas/job.ts';
import { edit } from '../store/index.ts';
import { Checkbox } from '../ui/index.ts';

interface TicksProps {
  readonly job: Job;
  readonly steps: readonly { readonly id: string; readonly words: string }[];
}

/** Steps to tick off; kept in the job, so that a phone put away in the middle forgets nothing. */
export function Ticks({ job, steps }: TicksProps) {
  const done = job.next?.done ?? [];
  return (
    <ul className="mix-ticks">
      {steps.map(({ id, words }) => (
        <li key={id}>
          <Checkbox
            isSelected={done.includes(id)}
            onChange={(isDone) =>
              edit(isDone ? 'Tick a step' : 'Untick a step', (draft) => {
                if (!draft.next) return;
                draft.next.done = draft.next.done.filter((d) => d !== id);
                if (isDone) draft.next.done.push(id);
              })
            }
          >
            {words}
          </Checkbox>
        </li>
      ))}
    </ul>
  );
}
