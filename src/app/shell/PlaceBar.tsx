import { PLACE_TABLE } from './places.tsx';
import { addressOf, useRoute } from './route.ts';

/** The five places: along the bottom on a phone, along the top on a desk. */
export function PlaceBar() {
  const { place: here, job } = useRoute();
  if (job === undefined) return null;
  return (
    <nav className="places" aria-label="Places">
      <ul>
        {PLACE_TABLE.map(({ place, word, Icon }) => (
          <li key={place}>
            <a href={addressOf(place, job)} aria-current={place === here ? 'page' : undefined}>
              <Icon />
              <span>{word}</span>
            </a>
          </li>
        ))}
      </ul>
    </nav>
  );
}
