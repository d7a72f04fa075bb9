/**
 * Keeps the app usable without a network: stores the built files when it is installed, answers from the store, and
 * takes over with a new version only when the page asks for it. The two names below are filled in by the build.
 */
declare const __PRECACHE_FILES__: readonly string[];
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
const INDEX = new URL('index.html', scope.registration.scope).href;

scope.addEventListener('install', (event) => {
  const files = __PRECACHE_FILES__.map(
    (file) => new Request(new URL(file, scope.registration.scope), { cache: 'reload' }),
  );
  event.waitUntil(caches.open(STORE).then((store) => store.addAll(files)));
});

scope.addEventListener('activate', (event) => {
  const old = caches
    .keys()
    .then((names) =>
      Promise.all(names.filter((n) => n.startsWith('sprayout-') && n !== STORE).map((n) => caches.delete(n))),
    );
  event.waitUntil(old.then(() => scope.clients.claim()));
});

scope.addEventListener('message', ({ data }) => {
  if (data === 'take-over') scope.skipWaiting();
});

scope.addEventListener('fetch', (event) => {
  const { request } = event;
  if (request.method !== 'GET' || !request.url.startsWith(scope.registration.scope)) return;
  event.respondWith(answer(request));
});

async function answer(request: Request): Promise<Response> {
  const store = await caches.open(STORE);
  const kept = await store.match(request.mode === 'navigate' ? INDEX : request, { ignoreSearch: true });
  if (kept) return kept;
  const fresh = await fetch(request);
  // what is fetched on demand (the sample job, later decoders) is there the next time, too
  if (fresh.ok && fresh.type === 'basic') await store.put(request, fresh.clone());
  return fresh;
}
