import { formatInterval, formatNumber, SplitSwatch, Swatch } from '../ui/index.ts';
import { lightTitle, type SeenIn, type StandingInLights } from './standings.ts';

interface InEveryLightProps {
  readonly white: string;
  readonly standings: readonly StandingInLights[];
  readonly lights: readonly string[];
}

const VERDICT_WORDS = { holds: 'Holds', parts: 'Parts', unsure: 'May part' } as const;

/** A row a panel, a column a light. */
export function InEveryLight({ white, standings, lights }: InEveryLightProps) {
  return (
    <div className="lights-scroll">
      <table className="lights-table">
        <thead>
          <tr>
            <th scope="col">Panel</th>
            {lights.map((light) => (
              <th key={light} scope="col">
                {lightTitle(light)}
              </th>
            ))}
          </tr>
        </thead>
        <tbody>
          {standings.map(({ panel, name, verdict, words, seen, shifts }) => (
            <tr key={panel}>
              <th scope="row">
                <span className="lights-name">{name}</span>
                {verdict && (
                  <span className={`lights-verdict lights-${verdict}`}>{VERDICT_WORDS[verdict]}</span>
                )}
                <span className="lights-words">{verdict ? words : (shifts[0] ?? words)}</span>
              </th>
              {seen.map((there, i) => (
                <td key={lights[i]}>
                  {there ? <Seen name={name} white={white} seen={there} /> : 'not photographed'}
                </td>
              ))}
            </tr>
          ))}
        </tbody>
      </table>
    </div>
  );
}

interface SeenProps {
  readonly name: string;
  readonly white: string;
  readonly seen: SeenIn;
}

function Seen({ name, white, seen: { light, panel, target, difference } }: SeenProps) {
  return (
    <div className="lights-seen">
      <span className="lights-where" aria-hidden="true">
        {lightTitle(light)}
      </span>
      {target ? (
        <SplitSwatch white={white} left={{ name, lab: panel }} right={{ name: 'the target', lab: target }} />
      ) : (
        <Swatch lab={panel} white={white} label={`${name}, ${lightTitle(light)}`} />
      )}
      {difference && (
        <span className="numbers">
          <strong>{formatNumber(difference.de00)}</strong>{' '}
          <span className="lights-interval">{formatInterval(difference.interval95)}</span>
        </span>
      )}
    </div>
  );
}
