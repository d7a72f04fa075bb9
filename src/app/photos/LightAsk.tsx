import { useState } from 'react';
import type { Job, JobPhoto } from '../../../shared/schemas/job.ts';
import { KIND_WORDS } from '../../core/lights/kind-words.ts';
import { lightName } from '../../core/lights/light-name.ts';
import { leaveLight, useSession } from '../store/index.ts';
import { Button, Checkbox, formatPercent } from '../ui/index.ts';
import type { PhotoReport } from '../worker/protocol.ts';
import { isSure, LIGHTS, type Light, lightQuestion, sayLight, UNSAID, unsaid } from './light.ts';
import { count } from './words.ts';

interface LightAskProps {
  readonly job: Job;
  readonly photo: JobPhoto;
  readonly report: PhotoReport | undefined;
}

const wordsOf = (light: Light): string => LIGHTS.find((l) => l.id === light)?.words ?? light;

/** In which light was it? Asked of a new photo, and of one whose card reads another light than was said. */
export function LightAsk({ job, photo, report }: LightAskProps) {
  const [forAll, setForAll] = useState(false);
  const left = useSession((s) => s.lightsLeft);
  const read = report?.measured.light;
  const question = lightQuestion(photo, read);
  if (!question || left.includes(photo.id)) return null;
  const reading = read && isSure(read) && `${KIND_WORDS[read.kind.name]} (${formatPercent(read.kind.share)})`;
  if (question.asks === 'whether')
    return (
      <section className="photos-light" aria-labelledby="photos-light">
        <h2 id="photos-light">Was it taken {lightName(photo.light)}?</h2>
        <p>The card reads {reading}. A wrong light makes wrong sentences in Lights.</p>
        <div className="photos-actions">
          {question.to.map((light) => (
            <Button key={light} onPress={() => sayLight([photo.id], light)}>
              {wordsOf(light)}
            </Button>
          ))}
          <Button kind="quiet" onPress={() => leaveLight([photo.id])}>
            Yes, {lightName(photo.light)}
          </Button>
        </div>
      </section>
    );
  const others = unsaid(job).filter((id) => !left.includes(id));
  const asked = forAll ? others : [photo.id];
  return (
    <section className="photos-light" aria-labelledby="photos-light">
      <h2 id="photos-light">In which light was it taken?</h2>
      {reading && <p>The card reads {reading}.</p>}
      <div className="photos-actions">
        {LIGHTS.filter(({ id }) => id !== UNSAID).map(({ id, words }) => (
          <Button key={id} onPress={() => sayLight(asked, id)}>
            {words}
          </Button>
        ))}
        <Button kind="quiet" onPress={() => leaveLight(asked)}>
          Another light
        </Button>
      </div>
      {others.length > 1 && (
        <Checkbox isSelected={forAll} onChange={setForAll}>
          The same for {others.length === 2 ? 'both photos' : `all ${count(others.length, 'photo')}`} without
          a light
        </Checkbox>
      )}
    </section>
  );
}
