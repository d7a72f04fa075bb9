import { useEffect, useRef } from 'react';
import type { Job, JobPanel } from '../../../shared/schemas/job.ts';
import { panelIn, panelName, selectPanel, tell } from '../store/index.ts';
import { Button, Dialog, Disclosure, Select, TextField } from '../ui/index.ts';
import { changePanel, reassign, recipeAsIn, removePanel, TARGET } from './edits.ts';
import { RecipeFields } from './RecipeFields.tsx';
import { TargetFields } from './TargetFields.tsx';
import { useIsWide } from './use-is-wide.ts';
import { hasRecipe } from './words.ts';

interface PanelSheetProps {
  readonly job: Job;
  readonly id: string;
  readonly photo: string;
  /** Panels of the photo in reading order: the one before is in it. */
  readonly here: readonly string[];
  readonly onOpen: (id: string) => void;
  readonly onClose: () => void;
}

/** A panel's name and recipe: beside the photo where there is room, over it on a phone. */
export function PanelSheet(props: PanelSheetProps) {
  const { job, id, here, onOpen, onClose } = props;
  const isWide = useIsWide();
  const panels = here.filter((p) => p !== TARGET);
  const next = panels[panels.indexOf(id) + 1];
  const title = id === TARGET ? 'The target' : panelName(job, id);
  const panel = panelIn(job, id);
  const content = panel ? (
    <PanelFields key={id} {...props} panel={panel} />
  ) : (
    <TargetFields key={id} job={job} photo={props.photo} onDone={onClose} />
  );
  const actions = (
    <>
      {next !== undefined && panel && (
        <Button
          onPress={() => {
            selectPanel(next);
            onOpen(next);
          }}
        >
          Next: {panelName(job, next)}
        </Button>
      )}
      <Button kind="primary" onPress={onClose}>
        Done
      </Button>
    </>
  );
  if (!isWide)
    return (
      <Dialog title={title} about={id} isOpen onClose={onClose} actions={actions}>
        {content}
      </Dialog>
    );
  return (
    <SideSheet key={id} title={title} onClose={onClose} actions={actions}>
      {content}
    </SideSheet>
  );
}

interface SideSheetProps {
  readonly title: string;
  readonly onClose: () => void;
  readonly children: React.ReactNode;
  readonly actions: React.ReactNode;
}

/** Beside the photo, which stays in reach. */
function SideSheet({ title, onClose, children, actions }: SideSheetProps) {
  const heading = useRef<HTMLHeadingElement>(null);
  useEffect(() => {
    heading.current?.focus({ preventScroll: true });
    heading.current?.scrollIntoView({ block: 'nearest' });
  }, []);
  return (
    <section
      className="sheet photos-sheet"
      aria-labelledby="photos-sheet-title"
      onKeyDown={(event) => {
        if (event.key === 'Escape' && !event.defaultPrevented) onClose();
      }}
    >
      <h2 id="photos-sheet-title" ref={heading} tabIndex={-1}>
        {title}
      </h2>
      {children}
      <div className="dialog-actions">{actions}</div>
    </section>
  );
}

function PanelFields({
  job,
  id,
  photo,
  here,
  onClose,
  panel,
}: PanelSheetProps & { readonly panel: JobPanel }) {
  const before = panelIn(job, panelBefore(job, id, here) ?? '');
  const others = job.panels.filter((p) => p.id !== id && !p.measured.some((m) => m.photo === photo));
  const isHere = panel.measured.some((m) => m.photo === photo);
  return (
    <div className="photos-sheet-fields">
      {before && hasRecipe(before) && (
        <Button onPress={() => recipeAsIn(id, before.id)}>
          Same as the one before: {panelName(job, before.id)}
        </Button>
      )}
      <TextField
        label="Name"
        value={panel.name ?? ''}
        onCommit={(name) =>
          changePanel('Rename panel', id, (p) => {
            p.name = name.trim();
          })
        }
        help="What stands on its back or on its tape."
      />
      <RecipeFields job={job} panel={panel} />
      <TextField
        label="Notes"
        isLong
        maxLength={5000}
        value={panel.notes ?? ''}
        onCommit={(notes) =>
          changePanel('Notes on the panel', id, (p) => {
            p.notes = notes;
          })
        }
      />
      <Disclosure title="It is another panel, the target, or none">
        <div className="photos-sheet-fields">
          {isHere && others.length > 0 && (
            <Select
              label="The same panel as"
              help="Seen here in another light. The outline goes over to it."
              value={undefined}
              choices={others.map((p) => ({ id: p.id, words: panelName(job, p.id) }))}
              onCommit={(to) => {
                reassign(id, to, photo);
                selectPanel(to);
                onClose();
              }}
            />
          )}
          <div className="photos-actions">
            {isHere && (
              <Button
                onPress={() => {
                  reassign(id, TARGET, photo);
                  selectPanel(TARGET);
                  onClose();
                }}
              >
                This is the target
              </Button>
            )}
            <Button
              kind="quiet"
              onPress={() => {
                removePanel(id);
                selectPanel(undefined);
                tell('The panel is removed from the job. Undo brings it back.');
                onClose();
              }}
            >
              Remove from the job
            </Button>
          </div>
        </div>
      </Disclosure>
    </div>
  );
}

/** The panel before it in the photo, else in the job. */
function panelBefore(job: Job, id: string, here: readonly string[]): string | undefined {
  const panels = here.filter((p) => p !== TARGET);
  const at = panels.indexOf(id);
  if (at > 0) return panels[at - 1];
  const inJob = job.panels.findIndex((p) => p.id === id);
  return job.panels[inJob - 1]?.id;
}
