/** Serves the built app from its folder on the loopback address. */
import { createReadStream } from 'node:fs';
import { stat } from 'node:fs/promises';
import { createServer, type IncomingMessage, type Server, type ServerResponse } from 'node:http';
import { extname, join, normalize, sep } from 'node:path';
import { SprayoutError } from '../core/errors.ts';

/** The page may load nothing from elsewhere and run no script but its own. */
export const CONTENT_SECURITY_POLICY = [
  "default-src 'none'",
  "script-src 'self' 'wasm-unsafe-eval'",
  "style-src 'self'",
  "img-src 'self' blob: data:",
  "font-src 'self'",
  "connect-src 'self'",
  "worker-src 'self'",
  "manifest-src 'self'",
  "base-uri 'none'",
  "form-action 'none'",
  "frame-ancestors 'none'",
].join('; ');

const MIME_TYPES: Readonly<Record<string, string>> = {
  '.html': 'text/html; charset=utf-8',
  '.js': 'text/javascript; charset=utf-8',
  '.mjs': 'text/javascript; charset=utf-8',
  '.css': 'text/css; charset=utf-8',
  '.json': 'application/json; charset=utf-8',
  '.webmanifest': 'application/manifest+json; charset=utf-8',
  '.svg': 'image/svg+xml',
  '.png': 'image/png',
  '.jpg': 'image/jpeg',
  '.woff2': 'font/woff2',
  '.woff': 'font/woff',
  '.wasm': 'application/wasm',
  '.onnx': 'application/octet-stream',
};

export interface ServedApp {
  readonly address: string;
  readonly server: Server;
  close(): Promise<void>;
}

/**
 * Serves `folder` on 127.0.0.1. `port` 0 takes any free one. Throws `file-not-found` when the app has not been built,
 * `usage` when the port is taken.
 */
export async function serveApp(folder: string, port = 0): Promise<ServedApp> {
  const index = await stat(join(folder, 'index.html')).catch(() => undefined);
  if (!index)
    throw new SprayoutError(
      'file-not-found',
      `The app is not built in ${folder}.`,
      'Run npm run build first.',
    );
  const server = createServer((request, response) => {
    answer(folder, request, response).catch(() => refuse(response, 500));
  });
  await new Promise<void>((resolve, reject) => {
    server.once('error', (error: NodeJS.ErrnoException) =>
      reject(
        error.code === 'EADDRINUSE' || error.code === 'EACCES'
          ? new SprayoutError('usage', `Port ${port} is taken.`, 'Choose another one with --port.')
          : error,
      ),
    );
    server.listen(port, '127.0.0.1', resolve);
  });
  const bound = server.address();
  const address = `http://127.0.0.1:${typeof bound === 'object' && bound ? bound.port : port}/`;
  return {
    address,
    server,
    close: () =>
      new Promise((resolve) => {
        server.close(() => resolve());
        server.closeAllConnections();
      }),
  };
}

async function answer(folder: string, request: IncomingMessage, response: ServerResponse): Promise<void> {
  if (request.method !== 'GET' && request.method !== 'HEAD') return refuse(response, 405);
  const path = pathOf(folder, request.url ?? '/');
  const file = path === undefined ? undefined : await stat(path).catch(() => undefined);
  if (path === undefined || !file?.isFile()) return refuse(response, 404);
  response.writeHead(200, {
    'Content-Type': MIME_TYPES[extname(path).toLowerCase()] ?? 'application/octet-stream',
    'Content-Length': file.size,
    'Content-Security-Policy': CONTENT_SECURITY_POLICY,
    'X-Content-Type-Options': 'nosniff',
    'Referrer-Policy': 'no-referrer',
    'Cross-Origin-Opener-Policy': 'same-origin',
    // names of built files hold their content's hash; everything else is asked for again
    'Cache-Control': path.includes(`${sep}assets${sep}`) ? 'public, max-age=31536000, immutable' : 'no-cache',
  });
  if (request.method === 'HEAD') {
    response.end();
    return;
  }
  createReadStream(path)
    .on('error', () => response.destroy())
    .pipe(response);
}

/** The file an address names; undefined when it would lie outside the folder. */
function pathOf(folder: string, url: string): string | undefined {
  try {
    const name = decodeURIComponent(new URL(url, 'http://localhost').pathname);
    if (name.includes('\0')) return undefined;
    const path = normalize(join(folder, name.endsWith('/') ? `${name}index.html` : name));
    return path.startsWith(folder.endsWith(sep) ? folder : folder + sep) ? path : undefined;
  } catch {
    return undefined;
  }
}

function refuse(response: ServerResponse, status: 404 | 405 | 500): void {
  if (response.headersSent) {
    response.destroy();
    return;
  }
  response.writeHead(status, {
    'Content-Type': 'text/plain; charset=utf-8',
    'X-Content-Type-Options': 'nosniff',
  });
  response.end(status === 404 ? 'Not found' : status === 405 ? 'Only GET' : 'Something went wrong');
}
