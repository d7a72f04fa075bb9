/** What a job is about: its panels, and the target beside them. */
import type { Paint } from '../correction/index.ts';
import { type Job, type JobPanel, type Measured, TARGET_ID } from '../job/index.ts';

/** A panel of a job, or its target. */
export interface JobThing {
  readonly id: string;
  readonly measured: readonly Measured[];
  readonly paint: Paint;
}

/** The panels in their order, then the target where there is one. */
export function thingsOf({ panels, target }: Job): JobThing[] {
  const things: JobThing[] = panels.map((p) => ({ id: p.id, measured: p.measured, paint: paintOf(p) }));
  if (target)
    things.push({
      id: TARGET_ID,
      measured: target.measured,
      paint: { group: TARGET_ID, make: 'any' },
    });
  return things;
}

/** A bare ground, or a candy of the tints noted; a panel of which nothing was noted is a candy. */
function paintOf({ coats, ground, mix }: JobPanel): Paint {
  if (coats === 0)
    return { group: 'ground', make: 'ground', ...(ground === undefined ? {} : { madeOf: ground }) };
  const tints = Object.entries(mix?.parts ?? {}).flatMap(([tint, parts]) => (parts > 0 ? [tint] : []));
  return { group: 'candy', ...(tints.length > 0 ? { madeOf: tints.sort().join(' ') } : {}) };
}
