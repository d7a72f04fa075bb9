import type { Lab, WhiteName } from '../../core/color/index.ts';
import { Figure, formatNumber, SplitSwatch } from '../ui/index.ts';
import type { Standing } from './against.ts';
import { directionsOf, signed, verdictSentence } from './sentences.ts';

interface TogetherProps {
  readonly standing: Standing;
  readonly target: { readonly name: string; readonly lab: Lab };
  readonly white: WhiteName;
}

/** The chosen panel held against the target. */
export function Together({ standing, target, white }: TogetherProps) {
  const { name, lab, difference } = standing;
  return (
    <section className="match-together" aria-label={`${name} against ${target.name}`}>
      <SplitSwatch white={white} left={{ name, lab }} right={target} isLarge />
      <div className="match-told">
        <Figure
          label={`${name} is off by`}
          value={difference.de00}
          unit="ΔE00"
          interval={difference.interval95}
        />
        <dl className="match-directions">
          {directionsOf(difference).map(({ symbol, name: axis, words, value, u95 }) => (
            <div key={symbol}>
              <dt>{axis}</dt>
              <dd>
                {words}
                <span className="match-symbol numbers">
                  {symbol} {signed(value)} ± {formatNumber(u95)}
                </span>
              </dd>
            </div>
          ))}
        </dl>
      </div>
      {!standing.isClosest && <p>{verdictSentence(difference)}</p>}
    </section>
  );
}
