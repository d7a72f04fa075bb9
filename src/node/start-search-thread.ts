// The thread that searches photos, with its compiled code kept beside it as the commands have it.
import { fileURLToPath } from 'node:url';
import { keepWhenAsked, keptCode } from './kept-code.ts';

const code = keptCode(fileURLToPath(new URL('.', import.meta.url)));
code.load('search.cjs');
keepWhenAsked(code);
