/** Whether most of the sprayed panels that say so are cleared: what is taken of those that don't, and advised for the next. */
export function usuallyCleared(
  panels: readonly { readonly coats?: number | undefined; readonly clear?: boolean | undefined }[],
): boolean {
  const said = panels.filter((p) => p.coats !== 0 && p.clear !== undefined);
  return said.filter((p) => p.clear).length * 2 >= said.length;
}
