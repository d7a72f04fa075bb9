import { edit, panelIn, panelName } from '../store/index.ts';

/** A panel's readings become the target's; the panel itself stays, and each goes its own way. */
export const matchPanel = (id: string): Promise<void> =>
  edit('Set the target to a panel', (draft) => {
    const from = panelIn(draft, id);
    if (from) draft.target = { name: panelName(draft, id), measured: from.measured.map((m) => ({ ...m })) };
  });
