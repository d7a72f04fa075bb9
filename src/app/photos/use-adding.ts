import { useEffect, useRef, useState } from 'react';
import type { Job } from '../../../shared/schemas/job.ts';
import { lookAtPhoto, tell } from '../store/index.ts';
import { addPhotos, type RefusedFile } from './add-photos.ts';
import { count } from './words.ts';

export interface Adding {
  readonly refused: readonly RefusedFile[];
  readonly add: (files: readonly File[], instead?: string) => Promise<void>;
  readonly forget: () => void;
}

/** Adding photos, and which files were refused last. */
export function useAdding(job: Job): Adding {
  const [refused, setRefused] = useState<readonly RefusedFile[]>([]);
  const add = async (files: readonly File[], instead?: string): Promise<void> => {
    const outcome = await addPhotos(job, files, instead);
    setRefused(outcome.refused);
    if (outcome.added.length === 0) return;
    lookAtPhoto(outcome.added[0]);
    tell(
      instead === undefined
        ? `${count(outcome.added.length, 'photo')} added.`
        : 'Taken again. Names and recipes of its panels are kept.',
    );
  };
  return { refused, add, forget: () => setRefused([]) };
}

/** Makes the whole page a place to drop files on. True while files are held over it. */
export function usePageDrop(onFiles: (files: readonly File[]) => void): boolean {
  const [isOver, setOver] = useState(false);
  const take = useRef(onFiles);
  take.current = onFiles;
  useEffect(() => {
    const hasFiles = (event: DragEvent): boolean => event.dataTransfer?.types.includes('Files') ?? false;
    const onOver = (event: DragEvent): void => {
      if (!hasFiles(event)) return;
      event.preventDefault();
      setOver(true);
    };
    const onLeave = (event: DragEvent): void => {
      if (event.relatedTarget === null) setOver(false);
    };
    const onDrop = (event: DragEvent): void => {
      if (!hasFiles(event)) return;
      event.preventDefault();
      setOver(false);
      const files = [...(event.dataTransfer?.files ?? [])];
      if (files.length > 0) take.current(files);
    };
    addEventListener('dragover', onOver);
    addEventListener('dragleave', onLeave);
    addEventListener('drop', onDrop);
    return () => {
      removeEventListener('dragover', onOver);
      removeEventListener('dragleave', onLeave);
      removeEventListener('drop', onDrop);
    };
  }, []);
  return isOver;
}
