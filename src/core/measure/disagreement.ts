import type { Disagreement } from '../correction/index.ts';
import type { Warning } from '../errors.ts';

/** What to say of a thing whose readings contradict each other: in the words of a comparison, and as a warning. */
export function disagreementWords(
  id: string,
  between: Disagreement['between'],
  photoIds: readonly string[],
): { readonly doubt: string; readonly warning: Warning } {
  const [a, b] = between.map((from) => (from === 'stated' ? from : photoIds[from]));
  if (a === 'stated' && b === 'stated')
    return {
      doubt: 'its stated colours disagree',
      warning: {
        code: 'stated-colours-disagree',
        message: `${id}'s stated colours differ by more than they should: are all of them readings of this very panel, in the right order L*, a*, b*, and under one white? Until then its interval is wider.`,
      },
    };
  if (a === 'stated' || b === 'stated') {
    const photo = a === 'stated' ? b : a;
    return {
      doubt: `its stated colour and photo ${photo} disagree`,
      warning: {
        code: 'stated-colour-disagrees',
        message: `${id}'s stated colour and photo ${photo} differ by more than they should: is the reading of this very panel, in the right order L*, a*, b*, and under the card's white? Until then it helps its neighbours little, and its interval is wider.`,
      },
    };
  }
  return {
    doubt: `its photos ${a} and ${b} disagree`,
    warning: {
      code: 'photos-disagree',
      message: `${id} looks different in photos ${a} and ${b} by more than it should: a metallic panel tilted to the light does that. Lay card and panels in one plane, square to the camera. Its interval is wider for it.`,
    },
  };
}
