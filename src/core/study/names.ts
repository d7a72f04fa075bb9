import type { Names } from '../advise/index.ts';
import type { Job } from '../job/index.ts';
import type { Pot } from '../mix/index.ts';

/** Names for sentences: those given, without capitals, else the ids. */
export function filmNames(job: Job): Names {
  const called = (list: readonly { id: string; name?: string | undefined }[]) => {
    const names = new Map(list.map((e) => [e.id, e.name]));
    return (id: string): string => (names.get(id)?.trim() || id).toLowerCase();
  };
  return {
    tint: called(job.tints),
    ground: called(job.grounds),
    target: targetName(job.target?.name),
  };
}

function targetName(name: string | undefined): string {
  if (!name?.trim()) return 'the target';
  const plain = name.trim().toLowerCase();
  return plain.startsWith('the ') ? plain : `the ${plain}`;
}

/** What is in the job's pot. */
export function potOf({ pot }: Job): Pot | undefined {
  if (!pot) return undefined;
  return { mix: { parts: pot.mix.parts, carrier: pot.mix.carrier ?? 0 }, volume_ml: pot.volume_ml };
}
