import { type PanelsFile, panelsSchema } from '../../../shared/schemas/panels.ts';
import { SprayoutError } from '../errors.ts';
import { isConvexQuad } from '../photo/polygon.ts';
import { schemaIssue } from '../schema-issue.ts';

/**
 * The panels outlined in a photo out of a file's JSON. `where` names the file in messages. Throws `panels-invalid`: a
 * broken field, an id given twice, corners that make no quadrilateral.
 */
export function parsePanels(json: unknown, where: string): PanelsFile {
  const fail = (what: string, hint: string): never => {
    throw new SprayoutError('panels-invalid', `Panels ${where}: ${what}.`, hint);
  };
  const parsed = panelsSchema.safeParse(json);
  if (!parsed.success) {
    const { at, what } = schemaIssue(parsed.error.issues);
    return fail(`${at} ${what}`, 'Correct that field; `format` must be "sprayout-panels/1".');
  }
  const seen = new Set<string>();
  for (const { id, corners_px } of parsed.data.panels) {
    if (seen.has(id)) fail(`two panels have the id ${JSON.stringify(id)}`, 'Give each an id of its own.');
    seen.add(id);
    if (!isConvexQuad(corners_px))
      fail(
        `the corners of panel ${JSON.stringify(id)} make no quadrilateral`,
        'Give them in turn: top left, top right, bottom right, bottom left.',
      );
  }
  return parsed.data;
}
