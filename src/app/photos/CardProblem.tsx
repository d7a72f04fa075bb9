import { useState } from 'react';
import { FileTrigger } from 'react-aria-components';
import type { JobPhoto } from '../../../shared/schemas/job.ts';
import { type AppProblem, tell } from '../store/index.ts';
import { Button, Notice } from '../ui/index.ts';
import { RetakeButton } from './AddPhotoButtons.tsx';
import { chooseCardFile } from './card-choice.ts';
import { removePhoto } from './edits.ts';
import type { PhotoState } from './photo-state.ts';
import type { Adding } from './use-adding.ts';
import { hintInApp } from './words.ts';

interface CardProblemProps {
  readonly photo: JobPhoto;
  readonly state: PhotoState;
  readonly problem: AppProblem;
  readonly adding: Adding;
  readonly onPlaceCorners: () => void;
}

/** Why a photo could not be read, and the ways out. */
export function CardProblem({ photo, state, problem, adding, onPlaceCorners }: CardProblemProps) {
  return (
    <Notice
      problem={{ ...problem, hint: hintInApp(problem.hint) }}
      actions={
        <>
          {state === 'no-card' && (
            <Button kind="primary" onPress={onPlaceCorners}>
              Place the four corners by hand
            </Button>
          )}
          <RetakeButton onFiles={(files) => adding.add(files, photo.id)} />
          {state === 'no-card' && <CardFileButton photo={photo.id} />}
          <RemovePhotoButton photo={photo.id} />
        </>
      }
    />
  );
}

export function RemovePhotoButton({ photo }: { readonly photo: string }) {
  return (
    <Button
      kind="quiet"
      onPress={() => {
        removePhoto(photo);
        tell('The photo is removed. Undo brings it back.');
      }}
    >
      Remove this photo
    </Button>
  );
}

/** Reads the photo with a card out of a file. */
export function CardFileButton({ photo }: { readonly photo: string }) {
  const [problem, setProblem] = useState<AppProblem>();
  const take = async (list: FileList | null): Promise<void> => {
    const [file] = list ?? [];
    if (file) setProblem(await chooseCardFile(photo, file));
  };
  return (
    <>
      <FileTrigger acceptedFileTypes={['.json', 'application/json']} onSelect={take}>
        <Button>Another card…</Button>
      </FileTrigger>
      {problem && <Notice problem={problem} />}
    </>
  );
}
