import type { ParseArgsConfig, parseArgs } from 'node:util';

/** Options in the form that node:util's parseArgs takes; `json` and `help` belong to every command. */
export type CommandOptions = NonNullable<ParseArgsConfig['options']>;

/** What a command was called with. */
export interface Call<T extends CommandOptions> {
  readonly values: ReturnType<typeof parseArgs<{ options: T; allowPositionals: true }>>['values'];
  readonly positionals: readonly string[];
  /** Progress and warnings, one line each, to stderr. */
  readonly tell: (line: string) => void;
  /** A path as the caller wrote it, made absolute from the caller's folder. */
  readonly path: (written: string) => string;
}

/** What a command answers: the same result as one JSON document and as words for a terminal. */
export interface Answer {
  readonly json: unknown;
  readonly words: string;
  /** 0 when left out. */
  readonly exitCode?: 0 | 2 | 3;
}

/** One command: one file in `commands/`, one line in the table of `commands.ts`. */
export interface Command<T extends CommandOptions = CommandOptions> {
  /** Printed by `sprayout NAME --help`: usage line, what it does, options. */
  readonly help: string;
  /** Without `json` and `help`. */
  readonly options: T;
  run(call: Call<T>): Promise<Answer>;
}

/** Keeps the option types of a command's literal. */
export function defineCommand<const T extends CommandOptions>(command: Command<T>): Command<T> {
  return command;
}
