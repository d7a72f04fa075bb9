import { useEffect } from 'react';

const REACHABLE =
  'a[href], button:not([disabled]), input:not([disabled]), select, textarea, [tabindex]:not([tabindex="-1"])';

/**
 * Keeps the keyboard's place when what had the focus goes away (a step done, a form closed): on to the first thing in
 * what is left around it, or to the screen's sentence where nothing near is left. Dialogs and menus see to themselves.
 */
export function useKeptFocus(): void {
  useEffect(() => {
    let around: readonly Element[] = [];
    const remember = ({ target }: FocusEvent): void => {
      const chain: Element[] = [];
      for (let e = target instanceof Element ? target : null; e; e = e.parentElement) chain.push(e);
      around = chain;
    };
    const keep = (): void => {
      const [lost] = around;
      const { activeElement, body } = document;
      if (!lost || lost.isConnected || (activeElement && activeElement !== body)) return;
      const near = around.find((e) => e.isConnected && !e.closest('[inert], [aria-hidden="true"]'));
      const main = document.getElementById('main');
      const isNear =
        near &&
        main?.contains(near) &&
        !near.matches('#main, .screen, .screen-body, .screen-main, .screen-aside, .screen-next');
      const next = isNear ? near.querySelector<HTMLElement>(REACHABLE) : null;
      const sentence = document.querySelector<HTMLElement>('#main h1');
      if (sentence) sentence.tabIndex = -1;
      if (next) {
        next.focus();
        return;
      }
      sentence?.focus({ preventScroll: true });
      // who goes by keyboard sees where they are; a finger's page stays where it is
      if (sentence?.matches(':focus-visible')) sentence.scrollIntoView({ block: 'nearest' });
    };
    let timer: ReturnType<typeof setTimeout> | undefined;
    const watcher = new MutationObserver(() => {
      if (!around[0] || around[0].isConnected) return;
      clearTimeout(timer);
      // what closes by itself puts the focus back first
      timer = setTimeout(keep, 60);
    });
    watcher.observe(document.body, { childList: true, subtree: true });
    addEventListener('focusin', remember);
    return () => {
      clearTimeout(timer);
      watcher.disconnect();
      removeEventListener('focusin', remember);
    };
  }, []);
}
