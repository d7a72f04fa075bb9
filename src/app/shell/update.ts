import { createStore } from 'zustand/vanilla';

/** A new version that waits to be started; undefined when there is none. */
export const updateStore = createStore<{ readonly takeOver: (() => void) | undefined }>(() => ({
  takeOver: undefined,
}));

export function offerUpdate(takeOver: () => void): void {
  updateStore.setState({ takeOver });
}
