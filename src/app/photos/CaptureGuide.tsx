import { Sketch } from './Sketch.tsx';

/** What good looks like, before shooting. */
export function CaptureGuide() {
  return (
    <div className="photos-guide">
      <Sketch />
      <ol className="photos-steps">
        <li>
          <strong>One light.</strong> Card and panels flat side by side, in the same window light, sun or
          tube.
        </li>
        <li>
          <strong>Nothing mirrored.</strong> Tilt or move until no lamp and no sky shines back from a panel.
        </li>
        <li>
          <strong>Straight above.</strong> Fill the frame, hold still, no flash and no filter.
        </li>
      </ol>
    </div>
  );
}
