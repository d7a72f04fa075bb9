// Run by the build with a command's words: keeps the code that is compiled when the command has been run.
import { fileURLToPath } from 'node:url';
import { keptCode, setFlags } from './kept-code.ts';

setFlags();
const code = keptCode(fileURLToPath(new URL('.', import.meta.url)));
process.once('exit', code.keep);
code.load('main.cjs');
