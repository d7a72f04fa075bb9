/** The light a photo was taken in: what can be said of it, and when to ask. */
import type { Job, JobPhoto } from '../../../shared/schemas/job.ts';
import type { LightKindName } from '../../core/correction/light-prior.ts';
import type { LikelyLight } from '../../core/correction/likely-light.ts';
import { edit, photoIn } from '../store/index.ts';

export type Light = JobPhoto['light'];

/** A photo of which nobody has said its light has this one. */
export const UNSAID: Light = 'other';

export const LIGHTS: readonly { readonly id: Light; readonly words: string }[] = [
  { id: 'sun', words: 'In the sun' },
  { id: 'shade', words: 'In the shade' },
  { id: 'shop', words: 'Shop light' },
  { id: 'lamp', words: 'Under the lamp' },
  { id: UNSAID, words: 'Not said, or another' },
];

/** Kinds of light that the sun and the shade are not, and the place where each is met. */
const INDOORS: Partial<Readonly<Record<LightKindName, Light>>> = {
  lamp: 'lamp',
  led: 'shop',
  'tri-phosphor': 'shop',
  discharge: 'shop',
  'narrow-led': 'shop',
};
/** Chance from which the card's reading is held against what was said. */
const SURE = 0.9;

/** Whether the card tells the kind of light well enough to speak of it. */
export const isSure = ({ kind }: Pick<LikelyLight, 'kind'>): boolean => kind.share >= SURE;

export type LightQuestion =
  | { readonly asks: 'which' }
  /** The card reads another kind of light than was said; `to` is what it may have been. */
  | { readonly asks: 'whether'; readonly to: readonly Light[] };

/** What to ask of a photo's light; undefined when it is said and nothing speaks against it. */
export function lightQuestion(
  { light }: Pick<JobPhoto, 'light'>,
  read: Pick<LikelyLight, 'kind'> | undefined,
): LightQuestion | undefined {
  if (light === UNSAID) return { asks: 'which' };
  if (!read || !isSure(read)) return undefined;
  const { name } = read.kind;
  const isOutside = light === 'sun' || light === 'shade';
  const inside = INDOORS[name];
  if (isOutside && inside) return { asks: 'whether', to: [inside] };
  if (!isOutside && name === 'day') return { asks: 'whether', to: ['sun', 'shade'] };
  return undefined;
}

/** Photos of which nobody has said the light. */
export const unsaid = ({ photos }: Pick<Job, 'photos'>): readonly string[] =>
  photos.filter((p) => p.light === UNSAID).map((p) => p.id);

export const sayLight = (photos: readonly string[], light: Light): Promise<void> =>
  edit(photos.length === 1 ? 'Light of the photo' : 'Light of the photos', (draft) => {
    for (const id of photos) {
      const photo = photoIn(draft, id);
      if (photo) photo.light = light;
    }
  });
