import { readArguments } from '../../src/cli/arguments.ts';
import type { Call, CommandOptions } from '../../src/cli/command.ts';
import { COMMANDS, loadCommand } from '../../src/cli/commands.ts';
import { asSprayoutError } from '../../src/cli/report-error.ts';
import { type ErrorCode, exitCodeOf } from '../../src/core/errors.ts';

export interface Refused {
  readonly status: 2 | 3;
  readonly code: ErrorCode;
  readonly message: string;
  readonly hint: string;
  /** What was told of progress before. */
  readonly told: readonly string[];
}

/**
 * How a call of a command is refused, in this process: a tenth of the time of a process of its own. That a refusal
 * reaches the caller of a real one is in the frame's tests.
 */
export async function refused(name: string, argv: readonly string[]): Promise<Refused> {
  const told: string[] = [];
  try {
    const command = await loadCommand(COMMANDS[name]);
    const { values, positionals } = readArguments(argv, command.options, name);
    const call = { values, positionals, tell: (line: string) => told.push(line), path: (p: string) => p };
    await command.run(call as unknown as Call<CommandOptions>);
  } catch (error) {
    const { code, message, hint } = asSprayoutError(error);
    return { status: exitCodeOf(code), code, message, hint, told };
  }
  throw new Error(`sprayout ${name} ${argv.join(' ')} was not refused`);
}
