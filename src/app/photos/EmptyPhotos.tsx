import { useState } from 'react';
import { bringDemo } from '../jobs/demo.ts';
import { PrintCard } from '../jobs/PrintCard.tsx';
import { goTo } from '../shell/route.ts';
import { type AppProblem, useSession } from '../store/index.ts';
import { Button, Notice, Screen } from '../ui/index.ts';
import { AddPhotoButtons } from './AddPhotoButtons.tsx';
import { CaptureGuide } from './CaptureGuide.tsx';
import { Refused } from './Refused.tsx';
import type { Adding } from './use-adding.ts';

/** A job without photos: what good looks like, and how to begin. */
export function EmptyPhotos({ adding }: { readonly adding: Adding }) {
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
      detail={
        <>
          Up to a dozen panels fit in one photo. Photos stay on this device.{' '}
          <span className="photos-drop-hint">Files can be dropped anywhere on this page.</span>
        </>
      }
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
      <PrintCard />
    </Screen>
  );
}
