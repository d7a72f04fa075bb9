/** Names of files in a bundle: which are safe to unpack anywhere, and how to make such a one. */

/** A name that Windows keeps for devices, whatever follows the dot (common knowledge of its file naming rules). */
const DEVICE = /^(con|prn|aux|nul|com[0-9]|lpt[0-9])(\.|$)/i;
/** Characters that no Windows file name can hold, control characters, and halves of characters. */
const FORBIDDEN = /[<>:"|?*\\/]|\p{Cc}|\p{Cs}/u;
/** With four bytes each, a number and an ending they stay under the 255 bytes that file systems allow. */
const MOST_CHARACTERS = 50;

/** Whether a path of a bundle leads to a file inside it on every system: no way up, no root, no drive, no odd names. */
export function isSafePath(path: string): boolean {
  return path.length <= 300 && path.split('/').every(isSafeName);
}

function isSafeName(name: string): boolean {
  return name !== '' && !/[. ]$/.test(name) && !FORBIDDEN.test(name) && !DEVICE.test(name);
}

/** What two paths have in common when some system would take them for the same file. */
export function fileKey(path: string): string {
  return path.normalize('NFC').toLowerCase();
}

/**
 * The last part of a path as a name that every system can hold, different from those in `taken` (file keys, to which the
 * new one is added) by a number before its ending.
 */
export function safeName(path: string, taken: Set<string>): string {
  const written = path.normalize('NFC').split(/[\\/]/).at(-1) ?? '';
  const [, stem, ending] = /^(.*?)((?:\.[A-Za-z0-9_-]{1,12}){0,2})$/su.exec(written) as RegExpExecArray;
  const plain = (text: string): string =>
    text.replace(new RegExp(FORBIDDEN, 'gu'), '_').replace(/^[. ]+|[. ]+$/g, '');
  let base = plain([...stem].slice(0, MOST_CHARACTERS).join('')) || 'file';
  if (DEVICE.test(base)) base = `_${base}`;
  for (let n = 1; ; n++) {
    const name = `${base}${n === 1 ? '' : ` (${n})`}${ending}`;
    if (taken.has(fileKey(name))) continue;
    taken.add(fileKey(name));
    return name;
  }
}
