/**
 * Compiles `index.ts` to WebAssembly and writes it as text into `wasm.ts`:
 *
 *   npx tsx decoders/jpeg-rounding/build.ts
 */
import { readFileSync, writeFileSync } from 'node:fs';
import { fileURLToPath, pathToFileURL } from 'node:url';
import asc from 'assemblyscript/asc';

const beside = (name: string): string => fileURLToPath(new URL(name, import.meta.url));

/** What `wasm.ts` holds: one version of the compiler writes the same on every machine. */
export async function compiledText(): Promise<string> {
  const { error, stderr, binary } = await asc.compileString(
    { 'index.ts': readFileSync(beside('index.ts'), 'utf8') },
    { optimizeLevel: 3, runtime: 'stub', noAssert: true, enable: ['simd'] },
  );
  if (error || !binary) throw new Error(`index.ts does not compile: ${stderr.toString()}`);
  return `/** \`index.ts\`, compiled and in base64: written by \`build.ts\`. */
export const ROUNDING_WASM =
  '${Buffer.from(binary).toString('base64')}';
`;
}

if (import.meta.url === pathToFileURL(process.argv[1]).href)
  writeFileSync(beside('wasm.ts'), await compiledText());
