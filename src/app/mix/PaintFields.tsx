import { useRef } from 'react';
import type { Job } from '../../../shared/schemas/job.ts';
import { useGoOn } from '../photos/use-go-on.ts';
import { count } from '../photos/words.ts';
import { edit, freeId } from '../store/index.ts';
import { AddIcon, Button, Disclosure, TextField } from '../ui/index.ts';

type List = 'tints' | 'grounds';

/** The tints on the shelf and the grounds at hand. */
export function PaintFields({ job }: { readonly job: Job }) {
  return (
    <Disclosure title={`${count(job.tints.length, 'tint')}, ${count(job.grounds.length, 'ground')}`}>
      <div className="mix-side">
        <Names
          job={job}
          list="tints"
          title="Tints"
          word="tint"
          isUsed={(id) => [...job.panels, job.pot, job.next].some((holds) => holds?.mix?.parts[id])}
        />
        <Names
          job={job}
          list="grounds"
          title="Grounds"
          word="ground"
          isUsed={(id) => [...job.panels, job.next].some((on) => on?.ground === id)}
        />
      </div>
    </Disclosure>
  );
}

interface NamesProps {
  readonly job: Job;
  readonly list: List;
  readonly title: string;
  readonly word: string;
  readonly isUsed: (id: string) => boolean;
}

function Names({ job, list, title, word, isUsed }: NamesProps) {
  const names = useRef<HTMLFieldSetElement>(null);
  const ids = job[list].map((e) => e.id);
  const toName = useGoOn(
    ids,
    (added) => names.current?.querySelectorAll<HTMLInputElement>('.mix-name input')[ids.indexOf(added)],
  );
  return (
    <fieldset className="mix-names" ref={names}>
      <legend>{title}</legend>
      {job[list].map((entry, i) => (
        <div key={entry.id} className="mix-name">
          <TextField
            label={`${word} ${i + 1}`}
            value={entry.name ?? entry.id}
            onCommit={(name) =>
              edit(`Rename ${word}`, (draft) => {
                const found = draft[list].find((e) => e.id === entry.id);
                if (found) found.name = name;
              })
            }
          />
          {!isUsed(entry.id) && (
            <Button
              kind="quiet"
              aria-label={`Remove ${entry.name?.trim() || `${word} ${i + 1}`}`}
              onPress={() =>
                edit(`Remove ${word}`, (draft) => {
                  draft[list] = draft[list].filter((e) => e.id !== entry.id);
                })
              }
            >
              Remove
            </Button>
          )}
        </div>
      ))}
      <Button
        icon={<AddIcon size={20} />}
        onPress={() => {
          toName();
          edit(`Add ${word}`, (draft) => {
            const id = freeId(draft[list], word[0]);
            draft[list].push({ id, name: `New ${word}` });
          });
        }}
      >
        Add a {word}
      </Button>
    </fieldset>
  );
}
