import { useEffect } from 'react';
import { useDocument } from '../store/document.ts';

/** Lets the browser ask before a window is closed that holds what is not stored. */
export function useLeaveWarning(): void {
  const isAtRisk = useDocument((d) => d.unsaved.length > 0 || d.saved.state !== 'saved');
  useEffect(() => {
    if (!isAtRisk) return;
    const ask = (event: BeforeUnloadEvent): void => event.preventDefault();
    addEventListener('beforeunload', ask);
    return () => removeEventListener('beforeunload', ask);
  }, [isAtRisk]);
}
