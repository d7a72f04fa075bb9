import type { ReactNode } from 'react';
import type { Job } from '../../../shared/schemas/job.ts';
import { edit, panelName } from '../store/index.ts';
import { Button, Checkbox, NumberField, Select, TextField } from '../ui/index.ts';
import type { Ask } from './asked.ts';

interface BoardFieldsProps {
  readonly job: Job;
  /** Ids of the panels that can be shown. */
  readonly measured: readonly string[];
  readonly ask: Ask;
  readonly onChange: (ask: Ask) => void;
  /** What there is to say of the notes. */
  readonly onNotes: ReactNode;
}

/** What the board shows and says. */
export function BoardFields({ job, measured, ask, onChange, onNotes }: BoardFieldsProps) {
  const toggle = (id: string, isShown: boolean): void =>
    onChange({ ...ask, panels: measured.filter((m) => (m === id ? isShown : ask.panels.includes(m))) });
  return (
    <>
      <fieldset className="board-panels">
        <legend>Panels to show</legend>
        {measured.length > 1 && (
          <div className="board-all">
            <Button
              kind="quiet"
              isDisabled={ask.panels.length === measured.length}
              onPress={() => onChange({ ...ask, panels: measured })}
            >
              All
            </Button>
            <Button
              kind="quiet"
              isDisabled={ask.panels.length === 0}
              onPress={() => onChange({ ...ask, panels: [] })}
            >
              None
            </Button>
          </div>
        )}
        {measured.map((id) => (
          <Checkbox key={id} isSelected={ask.panels.includes(id)} onChange={(isShown) => toggle(id, isShown)}>
            {panelName(job, id)}
          </Checkbox>
        ))}
      </fieldset>
      <TextField
        label="Title"
        value={ask.title || job.name}
        onCommit={(title) => onChange({ ...ask, title: title === job.name ? '' : title })}
      />
      <TextField
        label="Made by"
        value={job.maker ?? ''}
        onCommit={(maker) =>
          edit('Name the maker', (draft) => {
            if (maker.trim()) draft.maker = maker.trim();
            else delete draft.maker;
          })
        }
      />
      <TextField label="Date" value={ask.date} onCommit={(date) => onChange({ ...ask, date })} />
      <TextField
        label="Notes"
        isLong
        maxLength={2000}
        value={job.notes ?? ''}
        onCommit={(notes) =>
          edit('Write notes', (draft) => {
            if (notes.trim()) draft.notes = notes;
            else delete draft.notes;
          })
        }
      />
      {onNotes}
      <div className="board-row">
        <NumberField
          label="Panels on a page"
          value={ask.perSheet}
          min={1}
          max={12}
          step={1}
          digits={0}
          help="Left empty, as suits."
          onCommit={(perSheet) => onChange({ ...ask, perSheet })}
        />
        <Select
          label="Paper"
          value={ask.paper}
          choices={[
            { id: 'a4', words: 'A4' },
            { id: 'letter', words: 'Letter' },
          ]}
          onCommit={(paper) => onChange({ ...ask, paper: paper === 'letter' ? 'letter' : 'a4' })}
        />
      </div>
      <Checkbox isSelected={ask.ladder} onChange={(ladder) => onChange({ ...ask, ladder })}>
        With the ladder of ratios and coats
      </Checkbox>
    </>
  );
}
