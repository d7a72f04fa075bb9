/** Which card lies in a photo: the project's own, one the job has, or one out of a file. */
import type { CardDefinition } from '../../../shared/schemas/card.ts';
import type { Job } from '../../../shared/schemas/job.ts';
import { type AppProblem, edit, openCards, photoIn, tell } from '../store/index.ts';
import { bench } from '../worker/client.ts';

export const OWN = 'own';

/** Cards that can be chosen without a file. */
export function knownCards(job: Job): readonly { readonly id: string; readonly words: string }[] {
  const cards = openCards();
  const used = job.photos.flatMap((p) => (p.card === undefined ? [] : [p.card]));
  const paths = [...new Set([...cards.keys(), ...used])];
  return [
    { id: OWN, words: 'The printed card, as it comes' },
    ...paths.map((path) => ({ id: path, words: cards.get(path)?.name ?? path })),
  ];
}

/** Corners placed for one card say nothing of another. */
export const chooseCard = (photo: string, path: string): Promise<void> =>
  edit('Choose the card', (draft) => {
    const found = photoIn(draft, photo);
    if (!found) return;
    if (path === OWN) delete found.card;
    else found.card = path;
    delete found.card_corners_px;
    delete found.leave_out;
  });

/** Takes a card definition out of a file and uses it for a photo. Returns what is wrong with it. */
export async function chooseCardFile(photo: string, file: File): Promise<AppProblem | undefined> {
  let json: unknown;
  try {
    json = JSON.parse(await file.text());
  } catch {
    return {
      code: 'json-broken',
      message: `${file.name} is no card file.`,
      hint: 'Give the .card.json file that describes the card: its patches and their colours.',
    };
  }
  const parsed = await bench().parseCard(json, file.name);
  if (!parsed.ok) return parsed.problem;
  const path = freePath(file.name, parsed.value);
  await edit(
    'Use another card',
    (draft) => {
      const found = photoIn(draft, photo);
      if (!found) return;
      found.card = path;
      delete found.card_corners_px;
      delete found.leave_out;
    },
    { cards: [{ path, card: parsed.value }] },
  );
  tell(`Reading with ${parsed.value.name}.`);
  return undefined;
}

/** A path of its own for a card, unless the job has this very card already. */
function freePath(name: string, card: CardDefinition): string {
  const cards = openCards();
  const [stem, kind] = [name.replace(/(\.card)?\.json$/i, ''), '.card.json'];
  for (let n = 1; ; n++) {
    const path = `cards/${stem}${n === 1 ? '' : `-${n}`}${kind}`;
    const known = cards.get(path);
    if (!known || JSON.stringify(known) === JSON.stringify(card)) return path;
  }
}
