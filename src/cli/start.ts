#!/usr/bin/env node
// The executable: starts the commands, built as CommonJS with their compiled code kept beside them.
import { fileURLToPath } from 'node:url';
import { keptCode, setFlags } from '../node/kept-code.ts';

setFlags();
keptCode(fileURLToPath(new URL('./chunks', import.meta.url))).load('main.cjs');
