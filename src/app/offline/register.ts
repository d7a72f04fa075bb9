/** Installs the service worker, and says when the app is ready for offline use or a new version waits. */

export interface OfflineNews {
  /** Everything needed without a network is stored. */
  onReady(): void;
  /** A new version is stored; `takeOver` starts it. */
  onUpdate(takeOver: () => void): void;
}

export async function registerOffline(news: OfflineNews): Promise<void> {
  if (import.meta.env.DEV || !('serviceWorker' in navigator) || !window.isSecureContext) return;
  const container = navigator.serviceWorker;
  const hadController = container.controller !== null;
  const registration = await container.register('./service-worker.js', { scope: './' });
  const offer = (waiting: ServiceWorker): void =>
    news.onUpdate(() => {
      container.addEventListener('controllerchange', () => location.reload(), { once: true });
      waiting.postMessage('take-over');
    });
  if (registration.waiting && hadController) offer(registration.waiting);
  registration.addEventListener('updatefound', () => {
    const { installing } = registration;
    installing?.addEventListener('statechange', () => {
      if (installing.state === 'installed' && hadController) offer(installing);
      if (installing.state === 'activated' && !hadController) news.onReady();
    });
  });
}
