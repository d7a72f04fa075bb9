/** Hands a file to the device. */

/** A name that every file system takes, from what a person called a thing. */
export const fileNameOf = (name: string, otherwise: string): string =>
  name
    .replace(/[\\/:*?"<>|\p{Cc}]+/gu, ' ')
    .trim()
    .slice(0, 80)
    .replace(/[. ]+$/, '') || otherwise;

export function download(file: Blob, name: string): void {
  const address = URL.createObjectURL(file);
  const link = document.createElement('a');
  link.href = address;
  link.download = name;
  link.click();
  // not at once: the browser reads the file after this
  setTimeout(() => URL.revokeObjectURL(address), 60_000);
}
