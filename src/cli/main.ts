// The way to the commands, and nothing else, so that --help starts at once.
import { COMMANDS } from './commands.ts';

const [name, ...rest] = process.argv.slice(2);

// a reader that closes early (`| head`) is no error
process.stdout.on('error', (error: NodeJS.ErrnoException) => {
  if (error.code === 'EPIPE') process.exit(process.exitCode ?? 0);
  process.stderr.write(`sprayout: the answer could not be written (${error.code}).\n`);
  process.exit(2);
});
process.stderr.on('error', () => {});

void main();

async function main(): Promise<void> {
  if (name === undefined || name === '--help' || name === '-h' || name === 'help') {
    const asked = name === 'help' ? COMMANDS[rest[0]] : undefined;
    if (asked) await run(rest[0], ['--help']);
    else process.stdout.write(overview());
  } else if (name === '--version') {
    const { VERSION } = await import('./version.ts');
    process.stdout.write(`${VERSION}\n`);
  } else await run(name, rest);
}

async function run(command: string, argv: readonly string[]): Promise<void> {
  const { runCommand } = await import('./run.ts');
  process.exitCode = await runCommand(command, argv);
}

function overview(): string {
  const rows = Object.entries(COMMANDS).map(([command, entry]) => {
    const call = `${command} ${entry.arguments}`;
    return `  ${call.padEnd(30)}${entry.summary}`;
  });
  return [
    'sprayout measures sprayed panels photographed beside the printed card, compares them',
    'with each other and with a target, and says how sure it is.',
    '',
    'Usage: sprayout COMMAND …',
    '',
    ...rows,
    '',
    '  sprayout COMMAND --help       says more; --json answers with one JSON document',
    '',
  ].join('\n');
}
