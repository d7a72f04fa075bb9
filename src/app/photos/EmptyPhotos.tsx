import { useState } from 'react';
import type { Job } from '../../../shared/schemas/job.ts';
import { bringDemo } from '../jobs/demo.ts';
import { goTo } from '../shell/route.ts';
import { type AppProblem, useSession } from '../store/index.ts';
import { Button, Notice, Screen } from '../ui/index.ts';
import { AddPhotoButtons } from './AddPhotoButtons.tsx';
import { CaptureGuide } from './CaptureGuide.tsx';
import { Refused } from './Refused.tsx';
import { useAdding, usePageDrop } from './use-adding.ts';

/** A job without photos: what good looks like, and how to begin. */
export function EmptyPhotos({ job }: { readonly job: Job }) {
  const adding = useAdding(job);
  const isOver = usePageDrop(adding.add);
  const isForTarget = useSession((s) => s.selected) === 'target';
  const [failed, setFailed] = useState<AppProblem>();
  const demo = (): void => {
    bringDemo().then(
      (id) => id !== undefined && goTo('photos', id),
      () =>
        setFailed({
          code: 'demo-unreachable',
          message: 'The demo job could not be fetched.',
          hint: 'It is fetched once from where the app came from: connect, and try again.',
        }),
    );
  };
  return (
    <Screen
      sentence={
        isForTarget
          ? 'First photograph the customer’s sample beside the card.'
          : 'First photograph your panels beside the card.'
      }
      detail="Up to a dozen panels fit in one photo. Photos stay on this device. You can also drop files anywhere on this page."
      next={
        <>
          <AddPhotoButtons onFiles={adding.add} isFirst />
          <Button kind="quiet" onPress={demo}>
            Open the demo job
          </Button>
        </>
      }
    >
      <Refused adding={adding} />
      {failed && <Notice problem={failed} />}
      <CaptureGuide />
      {isOver && <div className="photos-drop">Let go to add the photos</div>}
    </Screen>
  );
}
