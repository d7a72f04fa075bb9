// Run by the build with a command's words: keeps the code that is compiled when the command has been run.
import { fileURLToPath } from 'node:url';
import { keepAtEnd, keptCode, setFlags } from '../node/kept-code.ts';

setFlags();
const code = keptCode(fileURLToPath(new URL('.', import.meta.url)));
keepAtEnd(code);
code.load('main.cjs');
