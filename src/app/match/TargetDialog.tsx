import { useState } from 'react';
import type { Job } from '../../../shared/schemas/job.ts';
import { goTo } from '../shell/route.ts';
import { edit, panelName, selectPanel, tell, useDocument } from '../store/index.ts';
import { Button, Dialog, NumberField, Select, Tabs, TextField } from '../ui/index.ts';
import { matchPanel } from './match-panel.ts';

interface TargetDialogProps {
  readonly job: Job;
  readonly isOpen: boolean;
  readonly onClose: () => void;
}

/** The colour to match: one of the panels, what an instrument read, or a place in a photo. */
export function TargetDialog({ job, isOpen, onClose }: TargetDialogProps) {
  return (
    <Dialog title="The colour to match" isOpen={isOpen} onClose={onClose}>
      <Tabs
        label="Where the target comes from"
        tabs={[
          { id: 'photo', words: 'In a photo', content: <FromPhoto onDone={onClose} /> },
          { id: 'value', words: 'Measured value', content: <FromValue job={job} onDone={onClose} /> },
          { id: 'panel', words: 'One of the panels', content: <FromPanel job={job} onDone={onClose} /> },
        ]}
      />
    </Dialog>
  );
}

function FromPhoto({ onDone }: { readonly onDone: () => void }) {
  const id = useDocument((d) => d.id);
  return (
    <div className="match-choose">
      <p>Photograph the customer’s sample beside the card, and outline it there as the target.</p>
      <div className="dialog-actions">
        <Button
          kind="primary"
          onPress={() => {
            selectPanel('target');
            onDone();
            goTo('photos', id);
          }}
        >
          To the photos
        </Button>
      </div>
    </div>
  );
}

function FromValue({ job, onDone }: { readonly job: Job; readonly onDone: () => void }) {
  const before = job.target?.measured.find((m) => 'lab' in m);
  const [name, setName] = useState(job.target?.name ?? '');
  const [lab, setLab] = useState<readonly (number | undefined)[]>(
    before && 'lab' in before ? before.lab : [undefined, undefined, undefined],
  );
  const [u, setU] = useState<number | undefined>((before && 'lab' in before && before.u) || 0.5);
  const [isTried, setTried] = useState(false);
  const set = (axis: number) => (value: number | undefined) =>
    setLab((known) => known.map((v, i) => (i === axis ? value : v)));
  const missing = 'Type the number the instrument showed.';
  const take = (): void => {
    setTried(true);
    const [l, a, b] = lab;
    if (l === undefined || a === undefined || b === undefined) return;
    edit('Set the target to a measured value', (draft) => {
      draft.target = {
        ...(name.trim() && { name: name.trim() }),
        measured: [{ lab: [l, a, b], u: u ?? 0.5 }],
      };
    });
    tell('The target is set.');
    onDone();
  };
  return (
    <div className="match-choose">
      <TextField
        label="Name"
        value={name}
        onCommit={setName}
        help="What the customer calls it: kettle lid, left door."
      />
      <div className="match-lab">
        {(['L*', 'a*', 'b*'] as const).map((axis, i) => (
          <NumberField
            key={axis}
            label={axis}
            value={lab[i]}
            min={i === 0 ? 0 : -128}
            max={i === 0 ? 100 : 128}
            error={isTried && lab[i] === undefined ? missing : undefined}
            onCommit={set(i)}
          />
        ))}
      </div>
      <NumberField
        label="How sure, as ΔE"
        value={u}
        min={0}
        max={20}
        step={0.1}
        onCommit={setU}
        help={`Under D50 for the 2° observer. 0.5 for a good instrument on a metallic panel.`}
      />
      <div className="dialog-actions">
        <Button kind="primary" onPress={take}>
          Match this value
        </Button>
      </div>
    </div>
  );
}

function FromPanel({ job, onDone }: { readonly job: Job; readonly onDone: () => void }) {
  const measured = job.panels.filter((p) => p.measured.length > 0);
  const [panel, setPanel] = useState<string | undefined>(measured[0]?.id);
  if (measured.length === 0) return <p>No panel is measured yet.</p>;
  return (
    <div className="match-choose">
      <Select
        label="Panel"
        value={panel}
        choices={measured.map((p) => ({ id: p.id, words: panelName(job, p.id) }))}
        onCommit={setPanel}
        help="Its readings become the target’s; the panel itself stays."
      />
      <div className="dialog-actions">
        <Button
          kind="primary"
          isDisabled={panel === undefined}
          onPress={() => {
            if (panel === undefined) return;
            matchPanel(panel);
            tell('The target is set.');
            onDone();
          }}
        >
          Match this panel
        </Button>
      </div>
    </div>
  );
}
