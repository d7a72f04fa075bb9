import type { Tolerances } from '../../core/compare/index.ts';
import { edit } from '../store/index.ts';
import { Disclosure, formatNumber, ToleranceInputs } from '../ui/index.ts';

/** What counts as seen and as accepted: the painter's own setting. */
export function ToleranceFields({ tolerances }: { readonly tolerances: Tolerances }) {
  const set = (part: Partial<Tolerances>): void => {
    edit('Change what counts as close', (draft) => {
      draft.tolerances = { ...tolerances, ...part };
    });
  };
  return (
    <Disclosure
      title={`Dashed lines: just seen ${formatNumber(tolerances.seen)}, accepted ${formatNumber(tolerances.accepted)}`}
    >
      <div className="match-tolerances">
        <ToleranceInputs tolerances={tolerances} onCommit={set} />
        <p className="field-help">
          A start, not a standard: half of the observers of a dental study saw a difference of 0.8, half
          accepted one of 1.8 (Paravina and others, 2015). Set what your customers accept.
        </p>
      </div>
    </Disclosure>
  );
}
