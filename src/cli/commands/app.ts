import { spawn } from 'node:child_process';
import { join } from 'node:path';
import { SprayoutError } from '../../core/errors.ts';
import { packageRoot } from '../../node/package-root.ts';
import { serveApp } from '../../node/serve-app.ts';
import { defineCommand } from '../command.ts';
import { wholeOption } from '../parse-mix.ts';

const help = `
Usage: sprayout app [--port N] [--no-open] [--json]

Opens the app in the browser: photos, match, mix, all on this machine. It is served on the loopback
address only, so that no other machine can reach it, and until you press Ctrl+C.

  --port N    port to serve it on; 4173 when left out, 0 for any free one. A browser keeps the jobs of
              each port apart, so stay with one
  --no-open   only says the address
  --json      one JSON document when it is ready: address
`;

const PORT = 4173;

export const command = defineCommand({
  help,
  options: { port: { type: 'string' }, 'no-open': { type: 'boolean' } },
  async run({ values, positionals, tell }) {
    if (positionals.length > 0)
      throw new SprayoutError('usage', 'sprayout app takes no arguments.', 'See sprayout app --help.');
    const port = wholeOption(values.port, 'port', 0, 65_535) ?? PORT;
    const { address } = await serveApp(join(packageRoot(), 'dist/app'), port);
    if (!values['no-open'] && !openInBrowser(address)) tell('Open this address in your browser:');
    return { json: { address }, words: `The app is at ${address} (Ctrl+C ends it)` };
  },
});

/** Hands an address to the system's browser. False where there is none to hand it to. */
function openInBrowser(address: string): boolean {
  const { platform, env } = process;
  if (platform === 'linux' && !env.DISPLAY && !env.WAYLAND_DISPLAY) return false;
  const [program, ...before] =
    platform === 'darwin' ? ['open'] : platform === 'win32' ? ['cmd', '/c', 'start', ''] : ['xdg-open'];
  const child = spawn(program, [...before, address], { stdio: 'ignore', detached: true });
  // the address is printed anyway
  child.on('error', () => {});
  child.unref();
  return true;
}
