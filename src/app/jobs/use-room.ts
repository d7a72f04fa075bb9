import { useEffect, useState } from 'react';
import { askToKeep, type Room, roomLeft } from '../library/storage.ts';

/** How much room there is; `ask` asks the browser to keep what is stored, and tells what it answered. */
export function useRoom(library: unknown): {
  readonly room: Room | undefined;
  readonly ask: () => Promise<void>;
  readonly isRefused: boolean;
} {
  const [room, setRoom] = useState<Room>();
  const [isRefused, setRefused] = useState(false);
  // biome-ignore lint/correctness/useExhaustiveDependencies: what is stored changes with the library
  useEffect(() => {
    roomLeft().then(setRoom, () => setRoom(undefined));
  }, [library]);
  const ask = async (): Promise<void> => {
    const isKept = await askToKeep().catch(() => false);
    setRefused(!isKept);
    setRoom(await roomLeft().catch(() => undefined));
  };
  return { room, ask, isRefused };
}
