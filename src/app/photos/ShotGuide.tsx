import { Disclosure } from '../ui/index.ts';
import type { PhotoReport } from '../worker/protocol.ts';
import { CaptureGuide } from './CaptureGuide.tsx';
import { remarksOn } from './photo-state.ts';

/** How to take the next one, with what else there is to know of this one. */
export function ShotGuide({ report }: { readonly report: PhotoReport }) {
  return (
    <section className="photos-after" aria-label="What to do better">
      <Disclosure title="How a good photo is taken">
        <CaptureGuide />
        {remarksOn(report).map((w) => (
          <p key={w.code} className="photos-remark">
            {w.message}
          </p>
        ))}
      </Disclosure>
    </section>
  );
}
