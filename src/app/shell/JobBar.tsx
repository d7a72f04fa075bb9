import { Button } from 'react-aria-components';
import { redo, undo, useDocument } from '../store/document.ts';
import { chooseTheme, chooseVolumeUnit, type Theme, useSession, type VolumeUnit } from '../store/session.ts';
import { IconButton } from '../ui/Button.tsx';
import { DownIcon, MoreIcon, RedoIcon, UndoIcon } from '../ui/icons.tsx';
import { Menu } from '../ui/Menu.tsx';
import { goTo } from './route.ts';
import { SavedState } from './SavedState.tsx';

/** The job's name, behind which all jobs lie. */
export function JobName() {
  const name = useDocument((d) => d.job?.name);
  const isOpen = useDocument((d) => d.id !== undefined);
  if (!isOpen) return <span className="job-name job-name-none">Sprayout</span>;
  return (
    <Button className="job-button" onPress={() => goTo('jobs')}>
      <span className="job-name">{name || 'Unnamed job'}</span>
      <DownIcon size={20} />
      <SavedState />
      <span className="unseen">, all jobs</span>
    </Button>
  );
}

export function JobTools() {
  const undoLabel = useDocument((d) => d.undoLabel);
  const redoLabel = useDocument((d) => d.redoLabel);
  const isOpen = useDocument((d) => d.job !== undefined);
  return (
    <div className="job-tools">
      {isOpen && (
        <>
          <IconButton
            icon={<UndoIcon />}
            word="Undo"
            aria-label={undoLabel ? `Undo: ${undoLabel}` : 'Undo'}
            isDisabled={undoLabel === undefined}
            onPress={() => undo()}
          />
          <IconButton
            icon={<RedoIcon />}
            word="Redo"
            aria-label={redoLabel ? `Redo: ${redoLabel}` : 'Redo'}
            isDisabled={redoLabel === undefined}
            onPress={() => redo()}
          />
        </>
      )}
      <SettingsMenu />
    </div>
  );
}

function SettingsMenu() {
  const theme = useSession((s) => s.theme);
  const unit = useSession((s) => s.volumeUnit);
  return (
    <Menu
      label="Settings"
      trigger={<IconButton icon={<MoreIcon />} word="Settings" />}
      groups={[
        {
          heading: 'Surroundings',
          chosen: theme,
          onChoose: (id) => chooseTheme(id as Theme),
          entries: [
            { id: 'auto', words: 'As the device' },
            { id: 'judging', words: 'Judging, mid grey' },
            { id: 'booth', words: 'Booth, dark grey' },
          ],
        },
        {
          heading: 'Amounts in',
          chosen: unit,
          onChoose: (id) => chooseVolumeUnit(id as VolumeUnit),
          entries: [
            { id: 'ml', words: 'Millilitres' },
            { id: 'oz', words: 'US fluid ounces' },
          ],
        },
      ]}
    />
  );
}
