/**
 * Keeps the app usable without a network: stores the built files when it is installed, answers from the store, and
 * takes over with a new version only when the page asks for it. Decoders and the panel finder are stored when they are
 * first fetched, and stay through new versions as long as those use them. The names below are filled in by the build.
 */
declare const __PRECACHE_FILES__: readonly string[];
declare const __LATER_FILES__: readonly string[];
declare const __PRECACHE_VERSION__: string;

interface LifeEvent extends Event {
  waitUntil(work: Promise<unknown>): void;
}
interface RequestEvent extends LifeEvent {
  readonly request: Request;
  respondWith(answer: Promise<Response>): void;
}
interface Scope {
  readonly registration: { readonly scope: string };
  readonly clients: { claim(): Promise<void> };
  skipWaiting(): Promise<void>;
  addEventListener(kind: 'install' | 'activate', listener: (event: LifeEvent) => void): void;
  addEventListener(kind: 'fetch', listener: (event: RequestEvent) => void): void;
  addEventListener(kind: 'message', listener: (event: MessageEvent) => void): void;
}

const scope = self as unknown as Scope;
const STORE = `sprayout-${__PRECACHE_VERSION__}`;
/** Of any version: what is in it is named by its content. */
const LATER_STORE = 'sprayout-later';
const LATER_FILES: ReadonlySet<string> = new Set(
  __LATER_FILES__.map((file) => new URL(file, scope.registration.scope).href),
);
const INDEX = new URL('index.html', scope.registration.scope).href;

scope.addEventListener('install', (event) => {
  const files = __PRECACHE_FILES__.map(
    (file) => new Request(new URL(file, scope.registration.scope), { cache: 'reload' }),
  );
  event.waitUntil(caches.open(STORE).then((store) => store.addAll(files)));
});

scope.addEventListener('activate', (event) => {
  event.waitUntil(Promise.all([forgetOldVersions(), forgetUnused()]).then(() => scope.clients.claim()));
});

async function forgetOldVersions(): Promise<void> {
  const names = await caches.keys();
  const old = names.filter((n) => n.startsWith('sprayout-') && n !== STORE && n !== LATER_STORE);
  await Promise.all(old.map((n) => caches.delete(n)));
}

async function forgetUnused(): Promise<void> {
  const store = await caches.open(LATER_STORE);
  const unused = (await store.keys()).filter(({ url }) => !LATER_FILES.has(url));
  await Promise.all(unused.map((request) => store.delete(request)));
}

scope.addEventListener('message', ({ data }) => {
  if (data === 'take-over') scope.skipWaiting();
});

scope.addEventListener('fetch', (event) => {
  const { request } = event;
  if (request.method !== 'GET' || !request.url.startsWith(scope.registration.scope)) return;
  event.respondWith(answer(request));
});

async function answer(request: Request): Promise<Response> {
  const store = await caches.open(LATER_FILES.has(request.url) ? LATER_STORE : STORE);
  const kept = await store.match(request.mode === 'navigate' ? INDEX : request, { ignoreSearch: true });
  if (kept) return kept;
  const fresh = await fetch(request);
  // what is fetched on demand (the sample job, decoders) is there the next time, too; a full disk is no reason to fail
  if (fresh.ok && fresh.type === 'basic') await store.put(request, fresh.clone()).catch(() => {});
  return fresh;
}
