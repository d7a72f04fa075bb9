import { parseArgs } from 'node:util';
import { SprayoutError } from '../core/errors.ts';
import type { CommandOptions } from './command.ts';
import { nearest } from './nearest.ts';

/** Options that every command takes. */
export const COMMON_OPTIONS = {
  json: { type: 'boolean' },
  help: { type: 'boolean', short: 'h' },
} as const satisfies CommandOptions;

interface Parsed {
  readonly values: Record<string, unknown>;
  readonly positionals: readonly string[];
}

/** Reads a command's arguments. Throws `usage` that names the option and, for a misspelt one, the nearest known. */
export function readArguments(argv: readonly string[], options: CommandOptions, commandName: string): Parsed {
  const all = { ...options, ...COMMON_OPTIONS };
  try {
    return parseArgs({ args: [...argv], options: all, allowPositionals: true, strict: true });
  } catch (error) {
    throw usageError(error, argv, Object.keys(all), commandName);
  }
}

function usageError(
  error: unknown,
  argv: readonly string[],
  known: readonly string[],
  commandName: string,
): SprayoutError {
  const { code, message } = error as { code?: string; message?: string };
  const see = `See sprayout ${commandName} --help.`;
  const quoted = /'(-[^' ]*)/.exec(message ?? '')?.[1] ?? 'an option';
  if (code === 'ERR_PARSE_ARGS_UNKNOWN_OPTION') {
    const meant = nearest(quoted.replace(/^-+/, ''), known);
    return new SprayoutError(
      'usage',
      `${quoted} is not an option of sprayout ${commandName}.`,
      meant ? `Did you mean --${meant}? ${see}` : see,
    );
  }
  if (code === 'ERR_PARSE_ARGS_INVALID_OPTION_VALUE') {
    const name = /--([a-z][\w-]*)/.exec(message ?? '')?.[1];
    if (/^-\d/.test(argv[argv.indexOf(`--${name}`) + 1] ?? ''))
      return new SprayoutError(
        'usage',
        `the value of --${name} begins with a dash.`,
        `Write it with an equals sign: --${name}="-5,10 …". ${see}`,
      );
    if (message?.includes('does not take an argument'))
      return new SprayoutError('usage', `--${name} takes no value.`, see);
    return new SprayoutError('usage', `--${name} needs a value after it.`, see);
  }
  return new SprayoutError('usage', message ?? 'the arguments could not be read.', see);
}

/** The only positional of a command that takes exactly one. */
export function onePositional(positionals: readonly string[], what: string, commandName: string): string {
  if (positionals.length === 1) return positionals[0];
  throw new SprayoutError(
    'usage',
    positionals.length === 0
      ? `sprayout ${commandName} needs ${what}.`
      : `sprayout ${commandName} takes one argument (${what}), not ${positionals.length}.`,
    `See sprayout ${commandName} --help.`,
  );
}
