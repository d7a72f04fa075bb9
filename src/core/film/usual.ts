/** Whether most of the sprayed panels that say so are cleared: what is taken of those that don't, and advised for the next. */
export function usuallyCleared(
  panels: readonly { readonly coats?: number | undefined; readonly clear?: boolean | undefined }[],
): boolean {
  const said = panels.filter((p) => p.coats !== 0 && p.clear !== undefined);
  return said.filter((p) => p.clear).length * 2 >= said.length;
}

/** The middle of some values, the lower of two; undefined without any. */
export function middleOf(values: readonly number[]): number | undefined {
  return [...values].sort((a, b) => a - b)[Math.floor((values.length - 1) / 2)];
}
