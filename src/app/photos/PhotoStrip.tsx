import { ListBox, ListBoxItem } from 'react-aria-components';
import type { Job, JobPhoto } from '../../../shared/schemas/job.ts';
import { useResults, useSession } from '../store/index.ts';
import { formatPercent } from '../ui/index.ts';
import { UNSAID } from './light.ts';
import { hasPlaces, type PhotoState, photoName, photoState, STATE_WORDS } from './photo-state.ts';
import { useThumbnail } from './use-thumbnail.ts';

interface PhotoStripProps {
  readonly job: Job;
  readonly chosen: string;
  readonly onChoose: (id: string) => void;
}

/** The photos small, each with its state. */
export function PhotoStrip({ job, chosen, onChoose }: PhotoStripProps) {
  const works = useResults((r) => r.photos);
  const left = useSession((s) => s.lightsLeft);
  const fraction = useResults((r) => r.progress?.fraction);
  const items = job.photos.map((photo) => {
    const state = photoState(works[photo.id]);
    const words =
      state === 'reading' && fraction !== undefined
        ? `Reading, ${formatPercent(fraction)}`
        : state === 'sound' && !hasPlaces(job, photo.id)
          ? 'Sound, no outlines'
          : state === 'sound' && photo.light === UNSAID && !left.includes(photo.id)
            ? 'Sound, light not said'
            : STATE_WORDS[state];
    return { id: photo.id, photo, state, words };
  });
  return (
    <ListBox
      aria-label="Photos"
      className="photos-strip"
      orientation="horizontal"
      items={items}
      selectionMode="single"
      selectionBehavior="replace"
      disallowEmptySelection
      selectedKeys={[chosen]}
      onSelectionChange={(keys) => {
        const [key] = keys === 'all' ? [] : [...keys];
        if (key !== undefined) onChoose(String(key));
      }}
    >
      {(item) => (
        <ListBoxItem
          id={item.id}
          className="photos-thumb"
          textValue={`${photoName(item.photo)}: ${item.words}`}
        >
          <Thumb photo={item.photo} />
          <span className="photos-thumb-name">{photoName(item.photo)}</span>
          <span className="photos-thumb-state">
            <StateMark state={item.state} />
            {item.words}
          </span>
        </ListBoxItem>
      )}
    </ListBox>
  );
}

function Thumb({ photo }: { readonly photo: JobPhoto }) {
  const ref = useThumbnail(photo.id, 120);
  return <canvas ref={ref} width={80} height={60} className="photos-thumb-picture" />;
}

/** Full, half, hollow, crossed: told by shape alone. */
export function StateMark({ state }: { readonly state: PhotoState }) {
  return (
    <svg className="photos-state" viewBox="0 0 16 16" width="16" height="16" aria-hidden="true">
      {state === 'sound' && <circle cx="8" cy="8" r="7" fill="currentColor" />}
      {(state === 'doubtful' || state === 'reading') && (
        <circle
          cx="8"
          cy="8"
          r="6.5"
          fill="none"
          stroke="currentColor"
          strokeWidth="2"
          strokeDasharray={state === 'reading' ? '3 2.5' : 'none'}
        />
      )}
      {state === 'doubtful' && <path d="M8 1.5a6.5 6.5 0 0 0 0 13z" fill="currentColor" />}
      {(state === 'no-card' || state === 'unreadable') && (
        <path d="M2 2l12 12M14 2 2 14" stroke="currentColor" strokeWidth="3" />
      )}
    </svg>
  );
}
