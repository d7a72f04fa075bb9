import { exitCodeOf, SprayoutError } from '../core/errors.ts';
import { readArguments } from './arguments.ts';
import { callersPath } from './callers-folder.ts';
import type { Call, CommandOptions } from './command.ts';
import { COMMANDS, loadCommand } from './commands.ts';
import { nearest } from './nearest.ts';
import { asSprayoutError, errorDocument, errorWords } from './report-error.ts';

/** Runs one command: arguments in, answer on stdout, progress on stderr. Returns the exit status; never throws. */
export async function runCommand(name: string, argv: readonly string[]): Promise<0 | 2 | 3> {
  const wantsJson = [name, ...argv].includes('--json');
  process.on('uncaughtException', (error) => {
    process.exit(refuse(asSprayoutError(error), wantsJson));
  });
  try {
    return await answer(name, argv);
  } catch (error) {
    return refuse(asSprayoutError(error), wantsJson);
  }
}

async function answer(name: string, argv: readonly string[]): Promise<0 | 2 | 3> {
  const entry = Object.hasOwn(COMMANDS, name) ? COMMANDS[name] : undefined;
  if (!entry) throw unknownCommand(name);
  const command = await loadCommand(entry);
  const { values, positionals } = readArguments(argv, command.options, name);
  if (values.help) {
    process.stdout.write(`${command.help.trim()}\n`);
    return 0;
  }
  const call = {
    values,
    positionals,
    tell: (line: string) => process.stderr.write(`${line}\n`),
    path: callersPath,
  } as Call<CommandOptions>;
  const { json, words, exitCode = 0 } = await command.run(call);
  process.stdout.write(values.json ? `${JSON.stringify(json)}\n` : `${words.trimEnd()}\n`);
  return exitCode;
}

function refuse(error: SprayoutError, wantsJson: boolean): 2 | 3 {
  if (wantsJson) process.stdout.write(`${JSON.stringify(errorDocument(error))}\n`);
  else process.stderr.write(`${errorWords(error)}\n`);
  return exitCodeOf(error.code);
}

function unknownCommand(name: string): SprayoutError {
  const meant = nearest(name, Object.keys(COMMANDS));
  return new SprayoutError(
    'usage',
    `${name} is not a command of sprayout.`,
    meant ? `Did you mean sprayout ${meant}?` : 'sprayout --help lists the commands.',
  );
}
