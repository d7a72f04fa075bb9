import { useEffect, useRef } from 'react';

/**
 * The focus goes on to what was just added, once it is there: the field that its name was entered in is gone then, and
 * a dialog would give the focus to whatever comes first in it. `place` finds where to; what is returned is called right
 * before adding. A field left for something else takes the focus nowhere.
 */
export function useGoOn(
  ids: readonly string[],
  place: (added: string) => HTMLElement | null | undefined,
): () => void {
  const before = useRef<readonly string[]>(undefined);
  useEffect(() => {
    const known = before.current;
    const added = known && ids.find((id) => !known.includes(id));
    if (added === undefined) return;
    before.current = undefined;
    const next = place(added);
    next?.focus();
    // whole, with what belongs to it
    (next?.closest('.field') ?? next)?.scrollIntoView({ block: 'nearest' });
    // as Tab would: what is typed takes the place of what stands there
    if (next instanceof HTMLInputElement) next.select();
  });
  return () => {
    // a field that is being left no longer has the focus
    before.current = document.activeElement === document.body ? undefined : ids;
  };
}
