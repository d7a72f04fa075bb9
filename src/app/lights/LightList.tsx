import type { Job } from '../../../shared/schemas/job.ts';
import type { Lights } from '../../core/lights/types.ts';
import { photoInWords } from '../photos/in-words.ts';
import { figuresOfLight, kindOfLight } from '../ui/index.ts';
import { lightTitle } from './standings.ts';

/** What the card tells of each photo's light. */
export function LightList({ job, lights }: { readonly job: Job; readonly lights: Lights }) {
  return (
    <section className="lights-list">
      <h2>What the card tells of the light</h2>
      <ul>
        {lights.photos.map((photo) => (
          <li key={photo.id}>
            <strong>
              {lightTitle(photo.light)}
              {photo.view === 'flop' ? ', from the side' : ''} ({photoInWords(job, photo.id)})
            </strong>
            <span className="numbers">{figuresOfLight(photo)}</span>
            <span>{kindOfLight(photo)}</span>
          </li>
        ))}
      </ul>
    </section>
  );
}
