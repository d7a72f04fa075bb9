import type { Lab, WhiteName } from '../../core/color/index.ts';
import { screenPaint } from './screen-paint.ts';

export interface SplitSwatchProps {
  readonly white: WhiteName;
  readonly left: { readonly name: string; readonly lab: Lab };
  readonly right: { readonly name: string; readonly lab: Lab };
  /** Names over the halves; without them the halves are named to screen readers only. */
  readonly isLarge?: boolean;
}

/** Two colours that touch, with nothing between them: the difference as the eye would judge it. */
export function SplitSwatch({ white, left, right, isLarge = false }: SplitSwatchProps) {
  const halves = [left, right].map((half) => ({ ...half, ...screenPaint(half.lab, white) }));
  const beyond = halves.filter((h) => !h.isWithinScreen);
  const words = `${left.name} beside ${right.name}${
    beyond.length > 0 ? `; ${beyond.map((h) => h.name).join(' and ')} stronger than this screen can show` : ''
  }`;
  return (
    <figure className={isLarge ? 'split split-large' : 'split'}>
      <div className="split-halves" role="img" aria-label={words}>
        {halves.map(({ name, css, isWithinScreen }, i) => (
          <div key={i === 0 ? 'left' : 'right'} className="split-half" style={{ background: css }}>
            {!isWithinScreen && (
              <span className={isLarge ? 'split-beyond' : 'split-beyond split-beyond-corner'}>
                {isLarge && `${name} is stronger than this screen can show`}
              </span>
            )}
          </div>
        ))}
      </div>
      {isLarge && (
        <figcaption aria-hidden="true">
          <span>{left.name}</span>
          <span>{right.name}</span>
        </figcaption>
      )}
    </figure>
  );
}
