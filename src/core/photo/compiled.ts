/** Modules of `decoders` that are kept in base64. Undefined where this machine cannot run one. */
export function compiledModule(text: string): WebAssembly.Module | undefined {
  const binary = atob(text);
  const bytes = new Uint8Array(binary.length);
  for (let i = 0; i < bytes.length; i++) bytes[i] = binary.charCodeAt(i);
  return WebAssembly.validate(bytes) ? new WebAssembly.Module(bytes) : undefined;
}
