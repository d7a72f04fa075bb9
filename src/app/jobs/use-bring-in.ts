import { useState } from 'react';
import { goTo } from '../shell/route.ts';
import { type AppProblem, tell } from '../store/index.ts';
import { type BroughtIn, bringIn } from './copies.ts';
import { nameOf } from './words.ts';

/** A file that was refused, and whether what is whole in it can be had. */
export interface Refused {
  readonly file: File;
  readonly problem: AppProblem;
}

/** Brings in copies of jobs, one after the other. One that came in whole is opened. */
export function useBringIn(): {
  readonly reading: string | undefined;
  readonly refused: readonly Refused[];
  /** Brought in, with something to say about it. */
  readonly remarked: readonly BroughtIn[];
  readonly take: (files: readonly File[], allowDamaged?: boolean) => Promise<void>;
} {
  const [reading, setReading] = useState<string>();
  const [refused, setRefused] = useState<readonly Refused[]>([]);
  const [remarked, setRemarked] = useState<readonly BroughtIn[]>([]);
  const take = async (files: readonly File[], allowDamaged = false): Promise<void> => {
    setRefused((list) => list.filter((r) => !files.some((f) => f.name === r.file.name)));
    const came: BroughtIn[] = [];
    for (const file of files) {
      setReading(file.name);
      const outcome = await bringIn(file, allowDamaged);
      if (outcome.ok) came.push(outcome.value);
      else setRefused((list) => [...list, { file, problem: outcome.problem }]);
    }
    setReading(undefined);
    setRemarked(came.filter((c) => c.warnings.length > 0));
    const [only] = came;
    if (files.length === 1 && only && only.warnings.length === 0) {
      tell(`${nameOf(only.job)} is brought in.`);
      goTo('photos', only.id);
    } else if (came.length > 0) tell(`Brought in: ${came.map((c) => nameOf(c.job)).join(', ')}.`);
  };
  return { reading, refused, remarked, take };
}
