import { useState } from 'react';
import { Form } from 'react-aria-components';
import type { JobRow } from '../library/database.ts';
import { renameJob } from '../library/jobs.ts';
import { storageProblem } from '../library/storage.ts';
import type { AppProblem } from '../store/index.ts';
import { Button, Dialog, Notice, TextField } from '../ui/index.ts';

export function RenameDialog({ row, onClose }: { readonly row: JobRow; readonly onClose: () => void }) {
  const [name, setName] = useState(row.job.name);
  const [problem, setProblem] = useState<AppProblem>();
  const take = async (): Promise<void> => {
    try {
      await renameJob(row.id, name.trim());
      onClose();
    } catch (error) {
      setProblem(storageProblem(error));
    }
  };
  return (
    <Dialog title="Rename the job" isOpen onClose={onClose}>
      <Form
        className="jobs-form"
        onSubmit={(event) => {
          event.preventDefault();
          take();
        }}
      >
        {problem && <Notice problem={problem} />}
        <TextField
          label="Name"
          value={name}
          onCommit={setName}
          help="What you call it: kettle lid, left door."
        />
        <div className="dialog-actions">
          <Button kind="primary" type="submit">
            Rename
          </Button>
        </div>
      </Form>
    </Dialog>
  );
}
