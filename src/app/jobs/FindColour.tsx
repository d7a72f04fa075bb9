import { showOnMatch } from '../match/chosen.ts';
import { addressOf } from '../shell/route.ts';
import { panelName } from '../store/index.ts';
import { EmptyState, formatNumber, NumberField, Select, SplitSwatch } from '../ui/index.ts';
import { type Find, thingsOf } from './use-find.ts';
import type { Library } from './use-library.ts';
import { nameOf, recipeOf } from './words.ts';

const TYPED = 'typed';

/** A colour over all jobs: whatever was sprayed near it, and how. */
export function FindColour({ library, find }: { readonly library: Library; readonly find: Find }) {
  const { wanted, setWanted, colour, near } = find;
  const measured = library.jobs.filter(({ id }) => thingsOf(id, library).length > 0);
  const job = measured.find((r) => r.id === wanted.job)?.job;
  if (measured.length === 0)
    return (
      <EmptyState title="No panel is measured yet">
        <p>
          Once panels are photographed, every colour you ever sprayed is found here again with its recipe.
        </p>
      </EmptyState>
    );
  return (
    <div className="jobs-find">
      <div className="jobs-find-fields">
        <Select
          label="Take the colour from"
          value={wanted.job ?? TYPED}
          choices={[
            ...measured.map((r) => ({ id: r.id, words: nameOf(r.job) })),
            { id: TYPED, words: 'A value that I type' },
          ]}
          onCommit={(id) =>
            setWanted({
              ...wanted,
              job: id === TYPED ? undefined : id,
              thing: thingsOf(id === TYPED ? undefined : id, library)[0] ?? '',
            })
          }
        />
        {job ? (
          <Select
            label="Target or panel"
            value={wanted.thing}
            choices={thingsOf(wanted.job, library).map((id) => ({
              id,
              words: id === 'target' ? `Target: ${panelName(job, id)}` : panelName(job, id),
            }))}
            onCommit={(thing) => setWanted({ ...wanted, thing })}
          />
        ) : (
          <TypedFields find={find} />
        )}
      </div>
      {colour && near && (
        <ol className="jobs-near">
          {near.map(({ job: key, panel, lab, de00 }) => {
            const row = library.jobs.find((r) => r.id === key);
            if (!row) return null;
            const name = panelName(row.job, panel);
            return (
              <li key={`${key} ${panel}`}>
                <a
                  className="jobs-near-row"
                  href={addressOf('match', key)}
                  onClick={() => showOnMatch(key, panel)}
                >
                  <SplitSwatch
                    white={colour.white}
                    left={{ name: colour.name, lab: colour.lab }}
                    right={{ name, lab }}
                  />
                  <span className="jobs-near-words">
                    <span className="jobs-near-name">{name}</span>
                    <span className="jobs-what">{nameOf(row.job)}</span>
                    <span className="jobs-what">{recipeOf(row.job, panel)}</span>
                  </span>
                  <span className="jobs-near-figure">
                    <span className="jobs-near-unit">about</span>
                    {formatNumber(de00)}
                    <span className="jobs-near-unit">ΔE00</span>
                  </span>
                </a>
              </li>
            );
          })}
        </ol>
      )}
    </div>
  );
}

function TypedFields({ find: { wanted, setWanted } }: { readonly find: Find }) {
  return (
    <div className="jobs-lab">
      {(['L*', 'a*', 'b*'] as const).map((axis, i) => (
        <NumberField
          key={axis}
          label={axis}
          value={wanted.typed[i]}
          min={i === 0 ? 0 : -128}
          max={i === 0 ? 100 : 128}
          onCommit={(value) => {
            const typed = wanted.typed.map((v, at) => (at === i ? value : v));
            setWanted({ ...wanted, typed: [typed[0], typed[1], typed[2]] });
          }}
        />
      ))}
      <p className="field-help">Under D50 for the 2° observer.</p>
    </div>
  );
}
