import { useState } from 'react';
import type { Job } from '../../../shared/schemas/job.ts';
import { goTo } from '../shell/route.ts';
import {
  latestOf,
  lookAtPhoto,
  panelName,
  selectPanel,
  useDocument,
  useResults,
  useSession,
} from '../store/index.ts';
import { AddIcon, Button, Screen } from '../ui/index.ts';
import { AddPhotoButtons } from './AddPhotoButtons.tsx';
import { CardProblem } from './CardProblem.tsx';
import { CheckSection } from './CheckSection.tsx';
import { moveOutline } from './edits.ts';
import { AddFound, FoundPanels } from './FoundPanels.tsx';
import { LightAsk } from './LightAsk.tsx';
import { ModeBanner } from './ModeBanner.tsx';
import { CARD, foundId, foundIndex, outlinesOf, shownOutlines } from './outlines-of.ts';
import { PanelList } from './PanelList.tsx';
import { PanelSheet } from './PanelSheet.tsx';
import { PhotoFields } from './PhotoFields.tsx';
import { PhotoStage } from './PhotoStage.tsx';
import { PhotoStrip } from './PhotoStrip.tsx';
import { photoName, photoState } from './photo-state.ts';
import type { SizePx } from './quads.ts';
import { Refused } from './Refused.tsx';
import { ShotFaults } from './ShotFaults.tsx';
import { ShotGuide } from './ShotGuide.tsx';
import { standingOf } from './sentences.ts';
import type { Adding } from './use-adding.ts';
import { useFound } from './use-found.ts';
import { usePhotoMode } from './use-photo-mode.ts';

/** A stage's shape until its photo is known. */
const UNKNOWN: SizePx = [4, 3];

interface PhotoBenchProps {
  readonly job: Job;
  readonly adding: Adding;
}

/** The photos of a job: one large, with what was found on it, the check and the panels beside. */
export function PhotoBench({ job, adding }: PhotoBenchProps) {
  const jobId = useDocument((d) => d.id);
  const works = useResults((r) => r.photos);
  const looked = useSession((s) => s.photo);
  const selected = useSession((s) => s.selected);
  const photo = job.photos.find((p) => p.id === looked) ?? job.photos[0];
  const work = works[photo.id];
  const report = latestOf(work);
  const state = photoState(work);
  const [sizes, setSizes] = useState<Readonly<Record<string, SizePx>>>({});
  const size = report?.size_px ?? sizes[photo.id] ?? UNKNOWN;
  const [open, setOpen] = useState<string>();
  const { mode, setMode, ...placing } = usePhotoMode(job, photo, size);
  const { found, isSearching, isNothing } = useFound(job, photo, work);

  const here = outlinesOf(job, photo.id);
  const outlines = shownOutlines(job, photo.id, mode, found);
  const { sentence, detail, wantsPhoto = false } = standingOf(job, works);
  const isMeasured = Object.values(works).some((w) => (latestOf(w)?.measured.panels.length ?? 0) > 0);
  const select = (id: string): void => {
    const index = foundIndex(id);
    if (index !== undefined) found?.choose(index);
    else if (id !== CARD) selectPanel(id);
  };
  const look = (id: string): void => {
    lookAtPhoto(id);
    setMode({ kind: 'look' });
    setOpen(undefined);
  };
  const placeCard = (): void => placing.placeCard(photo.card_corners_px ?? report?.measured.card.corners_px);
  const close = (): void => {
    setOpen(undefined);
    // back to the panel that the sheet was about
    setTimeout(() =>
      document.querySelector<HTMLElement>(`[data-panel="${CSS.escape(open ?? '')}"]`)?.focus(),
    );
  };
  const retake = (files: readonly File[]): void => {
    adding.add(files, photo.id);
  };
  /** Something else comes first. */
  const isBusy = found !== undefined || mode.kind !== 'look' || work?.state === 'failed';
  const takesPhoto = wantsPhoto && !isBusy;
  // what takes photos stays where it is in the page: a camera may be open
  const toMatch = (
    <Button
      kind={isBusy || wantsPhoto ? 'plain' : 'primary'}
      isDisabled={!isMeasured}
      onPress={() => goTo('match', jobId)}
    >
      {isMeasured ? 'See how far off' : 'See how far off: first outline a panel'}
    </Button>
  );
  const isOpen = open !== undefined && here.some((o) => o.id === open);

  return (
    <Screen
      sentence={sentence}
      detail={detail}
      aside={
        isOpen ? (
          <PanelSheet
            job={job}
            id={open}
            photo={photo.id}
            here={here.map((o) => o.id)}
            onOpen={setOpen}
            onClose={close}
          />
        ) : (
          <>
            {found && mode.kind === 'look' && (
              <FoundPanels job={job} photo={photo.id} size={size} found={found} />
            )}
            {report && state !== 'no-card' && state !== 'unreadable' && (
              <CheckSection photo={photo} report={report} state={state} />
            )}
            {report && <ShotFaults job={job} report={report} onRetake={retake} />}
            <PanelList
              job={job}
              photo={photo.id}
              report={report}
              here={here}
              selected={selected}
              onOpen={setOpen}
              onLook={look}
              onOutline={(panel) => setMode({ kind: 'draw', as: 'panel', panel })}
            />
            <PhotoFields job={job} photo={photo} onPlaceCorners={placeCard} onRetake={retake} />
            {report && <ShotGuide report={report} />}
          </>
        )
      }
      next={
        <>
          {found && mode.kind === 'look' && <AddFound found={found} />}
          {!takesPhoto && toMatch}
          <AddPhotoButtons onFiles={adding.add} isFirst={takesPhoto} />
          {takesPhoto && toMatch}
        </>
      }
    >
      <Refused adding={adding} />
      <PhotoStrip job={job} chosen={photo.id} onChoose={look} />
      {state !== 'unreadable' && mode.kind === 'look' && (
        <LightAsk key={`light ${photo.id}`} job={job} photo={photo} report={report} />
      )}
      {work?.state === 'failed' && mode.kind === 'look' && (
        <CardProblem
          photo={photo}
          state={state}
          problem={work.problem}
          adding={adding}
          onPlaceCorners={placeCard}
        />
      )}
      <ModeBanner
        job={job}
        photo={photo.id}
        mode={mode}
        onMode={setMode}
        onMiddle={placing.placeInMiddle}
        onUseCorners={placing.useCorners}
      />
      <PhotoStage
        key={photo.id}
        photoId={photo.id}
        label={`${photoName(photo)}, ${here.length} outlined`}
        size={size}
        onSize={(s) => setSizes((known) => ({ ...known, [photo.id]: s }))}
        card={mode.kind === 'card' || state === 'no-card' ? undefined : report?.measured.card.corners_px}
        leftOut={report?.patches.filter((p) => p.leftOut).map((p) => p.corners_px) ?? []}
        outlines={outlines}
        selected={mode.kind === 'card' ? CARD : found ? foundId(found.current) : selected}
        onSelect={select}
        onMove={(id, quad) =>
          id === CARD ? setMode({ kind: 'card', quad }) : moveOutline(id, photo.id, quad, panelName(job, id))
        }
        isDrawing={mode.kind === 'draw'}
        onDrawn={placing.drawn}
        tools={
          mode.kind === 'look' &&
          state !== 'unreadable' && (
            <>
              <Button icon={<AddIcon />} onPress={() => setMode({ kind: 'draw', as: 'panel' })}>
                Add a panel
              </Button>
              {!here.some((o) => o.kind === 'target') && (
                <Button onPress={() => setMode({ kind: 'draw', as: 'target' })}>Outline the target</Button>
              )}
            </>
          )
        }
      />
      <div role="status">
        {isSearching && <p>Looking for panels…</p>}
        {isNothing && here.length === 0 && <p>No panels were found by themselves: add them by hand.</p>}
      </div>
    </Screen>
  );
}
