import { useEffect, useState } from 'react';
import type { Job, JobPhoto } from '../../../shared/schemas/job.ts';
import type { QuadPx } from '../../core/photo/types.ts';
import { lookAtPhoto, selectPanel, sessionStore, tell } from '../store/index.ts';
import { changePhoto, outlinePanel, outlineTarget, TARGET } from './edits.ts';
import { LOOK, type Mode } from './modes.ts';
import { middleCard, middleQuad, type SizePx, storedQuad } from './quads.ts';

export interface PhotoMode {
  readonly mode: Mode;
  readonly setMode: (mode: Mode) => void;
  readonly drawn: (quad: QuadPx | undefined) => void;
  readonly placeInMiddle: () => void;
  readonly placeCard: (from: QuadPx | undefined) => void;
  readonly useCorners: () => void;
}

/** Who comes from Match to outline the target finds it asked for, unless it has a place in a photo already. */
function firstMode(job: Job): Mode {
  const { selected } = sessionStore.getState();
  const isPlaced = job.target?.measured.some((m) => m.photo && m.corners_px);
  return selected === TARGET && !isPlaced ? { kind: 'draw', as: 'target' } : LOOK;
}

export function usePhotoMode(job: Job, photo: JobPhoto, size: SizePx): PhotoMode {
  const [mode, setMode] = useState<Mode>(() => firstMode(job));
  // biome-ignore lint/correctness/useExhaustiveDependencies: once, on coming here
  useEffect(() => {
    const { selected, photo: looked } = sessionStore.getState();
    const thing = selected === TARGET ? job.target : job.panels.find((p) => p.id === selected);
    const places = thing?.measured.filter((m) => m.photo && m.corners_px) ?? [];
    if (places.length > 0 && !places.some((m) => m.photo === looked)) lookAtPhoto(places[0].photo);
  }, []);
  const drawn = (quad: QuadPx | undefined): void => {
    if (mode.kind !== 'draw') return;
    if (!quad) {
      setMode({ ...mode, isWrong: true });
      return;
    }
    setMode(LOOK);
    if (mode.as === 'target') {
      outlineTarget(photo.id, quad);
      selectPanel(TARGET);
    } else selectPanel(outlinePanel(job, mode.panel, photo.id, quad));
    tell('Outlined. Drag its corners until they sit just inside the edge.');
  };
  return {
    mode,
    setMode,
    drawn,
    placeInMiddle: () => drawn(middleQuad(size)),
    placeCard: (from) => setMode({ kind: 'card', quad: from ?? middleCard(size) }),
    useCorners: () => {
      if (mode.kind !== 'card') return;
      const { quad } = mode;
      setMode(LOOK);
      changePhoto('Place the card by hand', photo.id, (p) => {
        p.card_corners_px = storedQuad(quad);
      });
    },
  };
}
