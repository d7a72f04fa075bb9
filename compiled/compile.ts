/** Compiles the AssemblyScript of a folder beside this file to WebAssembly, as the text of the module that holds it in base64. */
import { existsSync, readFileSync, writeFileSync } from 'node:fs';
import { pathToFileURL } from 'node:url';
import asc from 'assemblyscript/asc';

const OUT = 'binary.wasm';

/** What `wasm.ts` of a folder holds: one version of the compiler writes the same on every machine. */
export async function compiledText(folder: string): Promise<string> {
  let binary: Uint8Array | undefined;
  const { error, stderr } = await asc.main(
    [
      `${folder}/index.ts`,
      '--optimizeLevel',
      '3',
      '--runtime',
      'stub',
      '--noAssert',
      '--enable',
      'simd',
      '--outFile',
      OUT,
    ],
    {
      readFile(name) {
        const file = new URL(name, import.meta.url);
        return existsSync(file) ? readFileSync(file, 'utf8') : null;
      },
      writeFile(name, contents) {
        if (name === OUT) binary = contents as Uint8Array;
      },
      listFiles: () => null,
    },
  );
  if (error || !binary) throw new Error(`${folder}/index.ts does not compile: ${stderr.toString()}`);
  return `/** \`index.ts\`, compiled and in base64: written by \`../compile.ts\`. */
export const WASM =
  '${Buffer.from(binary).toString('base64')}';
`;
}

/** npx tsx compiled/compile.ts FOLDER… */
if (import.meta.url === pathToFileURL(process.argv[1] ?? '').href)
  for (const folder of process.argv.slice(2))
    writeFileSync(new URL(`${folder}/wasm.ts`, import.meta.url), await compiledText(folder));
