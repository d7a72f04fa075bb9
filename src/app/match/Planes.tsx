import type { Job } from '../../../shared/schemas/job.ts';
import type { Lab, WhiteName } from '../../core/color/index.ts';
import type { LabEnsemble } from '../../core/correction/types.ts';
import { latestOf, useResults } from '../store/index.ts';
import { type Standing, spreadOf } from './against.ts';
import { ColourPlane } from './ColourPlane.tsx';
import { ellipseOf, type PlanePoint } from './plane.ts';

interface PlanesProps {
  readonly job: Job;
  readonly standings: readonly Standing[];
  readonly target: { readonly name: string; readonly lab: Lab };
  readonly selected: string;
  readonly onSelect: (panel: string) => void;
  readonly white: WhiteName;
}

type Along = (lab: Lab) => readonly [x: number, y: number];
const HUE: Along = ([, a, b]) => [a, b];
const DEPTH: Along = ([l, a, b]) => [Math.hypot(a, b), l];

/** Two views of all panels about the target: hue and strength from above, lightness and strength from the side. */
export function Planes({ standings, target, selected, onSelect, white }: PlanesProps) {
  const colours = latestOf(useResults((r) => r.colours))?.colours;
  if (!colours) return null;
  const points = (along: Along): readonly PlanePoint[] => [
    pointOf(colours, 'target', target.name, target.lab, along),
    ...standings.map((s) => ({ ...pointOf(colours, s.panel, s.name, s.lab, along), mark: s.mark })),
  ];
  return (
    <div className="match-planes">
      <ColourPlane
        title="Hue, seen from above"
        points={points(HUE)}
        white={white}
        x={{ low: 'greener', high: 'redder', symbol: 'a*' }}
        y={{ low: 'bluer', high: 'yellower', symbol: 'b*' }}
        selected={selected}
        onSelect={onSelect}
      />
      <ColourPlane
        title="Lightness, seen from the side"
        points={points(DEPTH)}
        white={white}
        x={{ low: 'duller', high: 'stronger', symbol: 'C*' }}
        y={{ low: 'darker', high: 'lighter', symbol: 'L*' }}
        selected={selected}
        onSelect={onSelect}
      />
      <p className="match-legend">
        The crossed square is {target.name}; each panel has its own mark, as in the list and on its photo. A
        ring holds the true colour 95 times of 100.
      </p>
    </div>
  );
}

function pointOf(colours: LabEnsemble, id: string, name: string, lab: Lab, along: Along): PlanePoint {
  const member = colours.ids.indexOf(id);
  const [x, y] = along(lab);
  const spread = member < 0 ? { xx: 0, xy: 0, yy: 0 } : spreadOf(colours, member, along);
  return { id, name, lab, x, y, ellipse: ellipseOf(spread) };
}
