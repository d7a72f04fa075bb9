/** Every edit of the screen by name. Recipes find things by id and are pure. */
import type { Job, JobPanel, JobPhoto, Measured } from '../../../shared/schemas/job.ts';
import type { QuadPx } from '../../core/photo/types.ts';
import { edit, freeId, panelIn, photoIn } from '../store/index.ts';
import { storedQuad } from './quads.ts';
import { count } from './words.ts';

export const TARGET = 'target';

/** What a panel, or the target, is read from. */
function readingsIn(draft: Job, id: string): Measured[] | undefined {
  return id === TARGET ? draft.target?.measured : panelIn(draft, id)?.measured;
}

/** Gives a panel or the target a place in a photo, in place of the one it had there. */
export function place(draft: Job, id: string, photo: string, quad: QuadPx): void {
  if (id === TARGET) draft.target ??= { measured: [] };
  const readings = readingsIn(draft, id);
  if (!readings) return;
  const corners_px = storedQuad(quad);
  const at = readings.findIndex((m) => m.photo === photo && m.corners_px);
  if (at >= 0) readings[at].corners_px = corners_px;
  else readings.push({ photo, corners_px });
}

/** A new panel, without a recipe yet. Returns its id. */
export function newPanel(draft: Job): string {
  const id = freeId(draft.panels, 'p');
  draft.panels.push({ id, name: `Panel ${id.slice(1)}`, measured: [] });
  return id;
}

export const moveOutline = (id: string, photo: string, quad: QuadPx, name: string): Promise<void> =>
  edit(`Move the outline of ${name}`, (draft) => place(draft, id, photo, quad));

/** Outlines the target: what an instrument read for it no longer counts. */
export const outlineTarget = (photo: string, quad: QuadPx): Promise<void> =>
  edit('Outline the target', (draft) => {
    if (draft.target) draft.target.measured = draft.target.measured.filter((m) => m.photo && m.corners_px);
    place(draft, TARGET, photo, quad);
  });

/** Outlines a panel: one of the job's, or a new one. Returns its id. */
export function outlinePanel(job: Job, id: string | undefined, photo: string, quad: QuadPx): string {
  const made = id ?? freeId(job.panels, 'p');
  edit('Add a panel', (draft) => place(draft, id ?? newPanel(draft), photo, quad));
  return made;
}

/** `to` is `new`, `target` or the id of one of the job's panels. */
export interface Outlined {
  readonly quad: QuadPx;
  readonly to: string;
}

/** What adding outlines does, in words: of those that are wanted. */
export function addingWords(to: readonly string[]): string {
  const panels = to.filter((id) => id !== TARGET).length;
  if (panels === to.length) return `Add ${count(panels, 'panel')} found`;
  return panels === 0 ? 'Add the target' : `Add ${count(panels, 'panel')} and the target`;
}

export const addFound = (photo: string, outlined: readonly Outlined[]): Promise<void> =>
  edit(addingWords(outlined.map(({ to }) => to)), (draft) => {
    for (const { quad, to } of outlined) place(draft, to === 'new' ? newPanel(draft) : to, photo, quad);
  });

export const takeOutOfPhoto = (id: string, photo: string): Promise<void> =>
  edit('Take out of this photo', (draft) => {
    const readings = readingsIn(draft, id);
    const kept = readings?.filter((m) => m.photo !== photo) ?? [];
    if (id !== TARGET) panelIn(draft, id)?.measured.splice(0, Number.POSITIVE_INFINITY, ...kept);
    else if (kept.length > 0 && draft.target) draft.target.measured = kept;
    else delete draft.target;
  });

export const removePanel = (id: string): Promise<void> =>
  edit('Remove panel', (draft) => {
    draft.panels = draft.panels.filter((p) => p.id !== id);
  });

/** The outline in a photo turns out to be of another panel, or of the target. What is left without a place goes. */
export const reassign = (id: string, to: string, photo: string): Promise<void> =>
  edit(to === TARGET ? 'Make it the target' : 'Say which panel it is', (draft) => {
    const from = panelIn(draft, id);
    const here = from?.measured.find((m) => m.photo === photo && m.corners_px);
    if (!from || !here?.corners_px) return;
    place(draft, to, photo, here.corners_px);
    from.measured = from.measured.filter((m) => m !== here);
    if (from.measured.length === 0) draft.panels = draft.panels.filter((p) => p.id !== id);
  });

export const changePanel = (label: string, id: string, change: (panel: JobPanel) => void): Promise<void> =>
  edit(label, (draft) => {
    const panel = panelIn(draft, id);
    if (panel) change(panel);
  });

/** The recipe of another panel: ground, mix, reducer, coats, clear. What is not said of that one stays as it is here. */
export const recipeAsIn = (id: string, from: string): Promise<void> =>
  edit('Take the recipe of another panel', (draft) => {
    const [panel, other] = [panelIn(draft, id), panelIn(draft, from)];
    if (!panel || !other) return;
    const { ground, mix, reducer_pct, coats, clear } = other;
    Object.assign(panel, {
      ...(ground !== undefined && { ground }),
      ...(mix && { mix: { ...mix, parts: { ...mix.parts } } }),
      ...(reducer_pct !== undefined && { reducer_pct }),
      ...(coats !== undefined && { coats }),
      ...(clear !== undefined && { clear }),
    });
    // nothing was sprayed on bare ground
    if (coats === 0 && !mix) delete panel.mix;
    reduceNothing(panel);
  });

/** Nothing is reduced where nothing is mixed. */
function reduceNothing(panel: JobPanel): void {
  if (!panel.mix) delete panel.reducer_pct;
}

/** Coats; left undefined, nobody counted them. A mix stays for when none turns out to be wrong. */
export const setCoats = (id: string, coats: number | undefined): Promise<void> =>
  changePanel('Coats', id, (panel) => {
    if (coats === undefined) delete panel.coats;
    else panel.coats = coats;
    if (coats === 0) reduceNothing(panel);
  });

/** Parts of one tint; a mix without any parts is none, and is not reduced. */
export const setParts = (id: string, tint: string, parts: number): Promise<void> =>
  changePanel('Parts', id, (panel) => {
    panel.mix ??= { parts: {} };
    if (parts > 0) panel.mix.parts[tint] = parts;
    else delete panel.mix.parts[tint];
    if (Object.keys(panel.mix.parts).length === 0) delete panel.mix;
    reduceNothing(panel);
  });

/** A new tint. */
export const addTint = (name: string): Promise<void> =>
  edit('Add tint', (draft) => {
    draft.tints.push({ id: freeId(draft.tints, 't'), name });
  });

/** A new ground, and the panel that lies on it. */
export const addGround = (name: string, panelId: string): Promise<void> =>
  edit('Add ground', (draft) => {
    const id = freeId(draft.grounds, 'g');
    draft.grounds.push({ id, name });
    const panel = panelIn(draft, panelId);
    if (panel) panel.ground = id;
  });

export const changePhoto = (label: string, id: string, change: (photo: JobPhoto) => void): Promise<void> =>
  edit(label, (draft) => {
    const photo = photoIn(draft, id);
    if (photo) change(photo);
  });

export const leaveOut = (photo: string, patch: string, isLeftOut: boolean): Promise<void> =>
  changePhoto(isLeftOut ? `Leave out patch ${patch}` : `Use patch ${patch} again`, photo, (draft) => {
    const kept = (draft.leave_out ?? []).filter((id) => id !== patch);
    if (isLeftOut) kept.push(patch);
    if (kept.length > 0) draft.leave_out = kept.sort();
    else delete draft.leave_out;
  });

/** Takes a photo out of a draft, with every place in it. */
export function withoutPhoto(draft: Job, id: string): void {
  draft.photos = draft.photos.filter((p) => p.id !== id);
  for (const thing of [...draft.panels, ...(draft.target ? [draft.target] : [])])
    thing.measured = thing.measured.filter((m) => m.photo !== id);
  if (draft.target && draft.target.measured.length === 0) delete draft.target;
}

export const removePhoto = (id: string): Promise<void> =>
  edit('Remove photo', (draft) => withoutPhoto(draft, id));
