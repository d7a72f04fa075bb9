import { useEffect, useRef } from 'react';
import type { Job } from '../../../shared/schemas/job.ts';
import { panelName } from '../store/index.ts';
import { Button } from '../ui/index.ts';
import { Chips } from './Chips.tsx';
import { LOOK, type Mode } from './modes.ts';

interface ModeBannerProps {
  readonly job: Job;
  readonly photo: string;
  readonly mode: Mode;
  readonly onMode: (mode: Mode) => void;
  readonly onMiddle: () => void;
  readonly onUseCorners: () => void;
}

const NEW = 'new panel';

/** What to do now, while something is being drawn or placed. */
export function ModeBanner({ job, photo, mode, onMode, onMiddle, onUseCorners }: ModeBannerProps) {
  const ref = useRef<HTMLElement>(null);
  useEffect(() => {
    if (mode.kind !== 'look') ref.current?.scrollIntoView({ block: 'start' });
  }, [mode.kind]);
  if (mode.kind === 'look') return null;
  const cancel = (
    <Button kind="quiet" onPress={() => onMode(LOOK)}>
      Cancel
    </Button>
  );
  if (mode.kind === 'card')
    return (
      <section ref={ref} className="photos-banner" aria-label="Placing the card" role="status">
        <strong>Drag each handle onto the card’s own corner.</strong>
        <span>Begin with the card’s top left: handles keep their order when the card lies turned.</span>
        <div className="photos-actions">
          <Button kind="primary" onPress={onUseCorners}>
            Read with these corners
          </Button>
          {cancel}
        </div>
      </section>
    );
  const waiting = job.panels.filter((p) => !p.measured.some((m) => m.photo === photo));
  return (
    <section ref={ref} className="photos-banner" aria-label="Outlining" role="status">
      <strong>
        {mode.as === 'target' ? 'Outline the target: drag' : 'Drag'} a box{' '}
        {mode.as === 'target' ? 'on the customer’s sample' : 'over the panel'}, or tap four corners.
      </strong>
      {mode.isWrong && (
        <span role="alert">
          Those points make no outline that can be read. Tap the four corners once more.
        </span>
      )}
      {mode.as === 'panel' && waiting.length > 0 && (
        <Chips
          label="Which panel"
          chosen={mode.panel ?? NEW}
          chips={[
            { id: NEW, words: 'A new panel' },
            ...waiting.map((p) => ({ id: p.id, words: panelName(job, p.id) })),
          ]}
          onChoose={(id) => onMode({ ...mode, panel: id === NEW ? undefined : id })}
        />
      )}
      <div className="photos-actions">
        <Button onPress={onMiddle}>Place one in the middle</Button>
        {cancel}
      </div>
    </section>
  );
}
