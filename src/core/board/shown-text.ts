/** A name or note fit to be set: composed (NFC), on one line, without characters that steer or hide text. */
export function shownText(text: string | undefined): string | undefined {
  if (text === undefined) return undefined;
  const clean = text
    .normalize('NFC')
    .replace(/[\p{Cc}\p{Zl}\p{Zp}]+/gu, ' ')
    // marks that turn, isolate or hide text, tags, and half characters; joiners are part of some scripts and stay
    .replace(
      /[\u200b\u200e\u200f\u202a-\u202e\u2060-\u206f\ufeff\ufff9-\ufffb]|[\u{e0000}-\u{e0fff}]|\p{Cs}|\p{Co}|\p{Cn}/gu,
      '',
    )
    .replace(/ {2,}/g, ' ')
    .trim();
  return clean === '' ? undefined : clean;
}

/** A name inside a sentence: without its capital, unless that is part of the name ("AB 7", "Ria’s lid"). */
export function inSentence(name: string): string {
  const isOwnName = /['’]s\b/.test(name) || !/^\p{Lu}\p{Ll}/u.test(name);
  return isOwnName ? name : name.charAt(0).toLowerCase() + name.slice(1);
}

/** The same as something there is one of: "the enamel kettle lid". */
export function theOne(name: string): string {
  const said = inSentence(name);
  return /^the\s/i.test(said) || /['’]s\b/.test(said) ? said : `the ${said}`;
}
