import { KIND_WORDS, temperatureWords } from '../../core/lights/kind-words.ts';
import type { Lights } from '../../core/lights/types.ts';
import { formatNumber, formatPercent } from '../ui/index.ts';
import { lightTitle } from './standings.ts';

/** What the card tells of each photo's light. */
export function LightList({ lights }: { readonly lights: Lights }) {
  return (
    <section className="lights-list">
      <h2>What the card tells of the light</h2>
      <ul>
        {lights.photos.map((photo) => (
          <li key={photo.id}>
            <strong>
              {lightTitle(photo.light)}
              {photo.view === 'flop' ? ', from the side' : ''} ({photo.id})
            </strong>
            <span className="numbers">
              about {temperatureWords(photo)}, Duv {formatNumber(photo.duv, 3)} (±
              {formatNumber(photo.duv_u95, 3)})
            </span>
            <span>
              most likely {KIND_WORDS[photo.kind.name]} ({formatPercent(photo.kind.share)})
            </span>
          </li>
        ))}
      </ul>
    </section>
  );
}
