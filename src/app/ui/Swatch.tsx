import type { Lab, WhiteName } from '../../core/color/index.ts';
import { screenPaint } from './screen-paint.ts';

export interface SwatchProps {
  readonly lab: Lab;
  readonly white: WhiteName;
  /** Said in place of the colour: "p4, three coats on silver". */
  readonly label: string;
}

/** A colour as this screen shows it. One the screen cannot show stands in paler, and says so. */
export function Swatch({ lab, white, label }: SwatchProps) {
  const { css, isWithinScreen } = screenPaint(lab, white);
  return (
    <div
      className="swatch"
      style={{ background: css }}
      role="img"
      aria-label={isWithinScreen ? label : `${label}, stronger than this screen can show`}
    >
      {!isWithinScreen && <span className="swatch-beyond">beyond this screen</span>}
    </div>
  );
}
