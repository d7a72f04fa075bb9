/**
 * The memory of compiled code, as far as it is asked for. The library's types say it in these words of their own: a project
 * that uses them need not have the types of a browser.
 */
export interface CompiledMemory {
  readonly buffer: ArrayBuffer;
  /** By so many pages of 64 KiB. */
  grow(pages: number): number;
}
