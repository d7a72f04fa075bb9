import { useEffect, useState } from 'react';
import { useDocument } from './document.ts';
import { openShownPhoto } from './shown-photo.ts';

/** An address under which an `<img>` shows a photo of the open job; undefined until it is there. */
export function usePhotoAddress(photoId: string | undefined): string | undefined {
  const job = useDocument((d) => d.id);
  const [address, setAddress] = useState<string>();
  // biome-ignore lint/correctness/useExhaustiveDependencies: a photo's id is its own only within its job
  useEffect(() => {
    setAddress(undefined);
    if (photoId === undefined) return;
    let made: string | undefined;
    let isCurrent = true;
    openShownPhoto(photoId).then(
      (blob) => {
        if (!blob || !isCurrent) return;
        made = URL.createObjectURL(blob);
        setAddress(made);
      },
      () => {},
    );
    return () => {
      isCurrent = false;
      if (made !== undefined) URL.revokeObjectURL(made);
    };
  }, [job, photoId]);
  return address;
}
