/** What a painter's light is called inside a sentence. */
const LIGHT_WORDS: Readonly<Record<string, string>> = {
  sun: 'in the sun',
  shade: 'in the shade',
  shop: 'under the shop light',
  lamp: 'under the lamp',
  other: 'in a light not said',
};

/** `in the sun` for `sun`. */
export const lightName = (light: string): string => LIGHT_WORDS[light] ?? LIGHT_WORDS.other;
