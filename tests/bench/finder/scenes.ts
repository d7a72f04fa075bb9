/** Varied rendered scenes as photo files, made once and kept in a temporary folder. */
import { existsSync, mkdirSync, readFileSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { photoFile, renderScene } from '../../../samples/scene/index.ts';
import { outlineMm, type VariedOptions, variedScene } from '../../../samples/scene/varied.ts';
import { OWN_CARD } from '../../../src/core/card/own.ts';
import type { Lab } from '../../../src/core/color/index.ts';
import type { PointPx, QuadPx } from '../../../src/core/photo/types.ts';

export interface KeptScene {
  readonly file: string;
  readonly bench: string;
  readonly arrangement: string;
  readonly card_px: QuadPx;
  readonly panels: readonly {
    readonly id: string;
    readonly lab: Lab;
    readonly outline_px: readonly PointPx[];
  }[];
}

type Choice = { readonly width_px: number } & Pick<VariedOptions, 'glare' | 'undisturbed' | 'arrangement'>;

export async function keptScene(seed: number, choice: Choice): Promise<KeptScene> {
  const folder = join(tmpdir(), 'sprayout-finder-scenes');
  mkdirSync(folder, { recursive: true });
  const { width_px, glare = 'some', undisturbed = false, arrangement } = choice;
  const name = [seed, width_px, glare, undisturbed ? 'plain' : 'busy', arrangement ?? 'any']
    .join('-')
    .replaceAll(' ', '_');
  const [file, facts] = [join(folder, `${name}.jpg`), join(folder, `${name}.json`)];
  if (!existsSync(facts)) {
    const made = variedScene(seed, {
      family: 'judge',
      pixels: 'jpeg',
      card: OWN_CARD,
      cardTier: 'measured',
      width_px,
      height_px: (width_px * 3) / 4,
      glare,
      ...(undisturbed && { undisturbed }),
      ...(arrangement && { arrangement }),
    });
    const rendered = renderScene(made.scene, made.render);
    writeFileSync(file, await photoFile(rendered, { format: 'jpeg', quality: 93 }));
    const panels = made.panels.map((p) => ({
      id: p.id,
      lab: p.lab,
      outline_px: outlineMm(p).map(rendered.toPx),
    }));
    writeFileSync(
      facts,
      JSON.stringify({
        bench: made.bench,
        arrangement: made.arrangement,
        card_px: rendered.truth.card_px,
        panels,
      }),
    );
  }
  return { file, ...(JSON.parse(readFileSync(facts, 'utf8')) as Omit<KeptScene, 'file'>) };
}
