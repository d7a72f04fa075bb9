import type { Job } from '../../../shared/schemas/job.ts';
import { edit, selectPanel, tell } from '../store/index.ts';
import { Button, TextField } from '../ui/index.ts';
import { TARGET, takeOutOfPhoto } from './edits.ts';

interface TargetFieldsProps {
  readonly job: Job;
  readonly photo: string;
  readonly onDone: () => void;
}

export function TargetFields({ job, photo, onDone }: TargetFieldsProps) {
  return (
    <div className="photos-sheet-fields">
      <TextField
        label="Name"
        value={job.target?.name ?? ''}
        help="What the customer calls it: kettle lid, left door."
        onCommit={(name) =>
          edit('Name the target', (draft) => {
            if (draft.target) draft.target.name = name.trim();
          })
        }
      />
      <div>
        <Button
          kind="quiet"
          onPress={() => {
            takeOutOfPhoto(TARGET, photo);
            selectPanel(undefined);
            tell('Taken out of this photo. Undo brings it back.');
            onDone();
          }}
        >
          It is not in this photo
        </Button>
      </div>
    </div>
  );
}
