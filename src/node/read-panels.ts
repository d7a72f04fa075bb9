import type { PanelsFile } from '../../shared/schemas/panels.ts';
import { parsePanels } from '../core/job/index.ts';
import { readJson } from './read-json.ts';

/** Reads the panels outlined in a photo. Throws what `readJson` and `parsePanels` throw. */
export async function readPanels(path: string): Promise<PanelsFile> {
  return parsePanels(await readJson(path), path);
}
