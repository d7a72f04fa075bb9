import { describe, expect, it } from 'vitest';
import { OWN_CARD, parseCard } from '../../src/core/card/index.ts';
import { SprayoutError } from '../../src/core/errors.ts';
import { parseJob, parseJson, parsePanels } from '../../src/core/job/index.ts';
import { seededRandom } from '../../src/core/math/random.ts';
import { soundJob } from '../job/sample-job.ts';
import { spoilJsonText } from './mutations.ts';

const PANELS = {
  format: 'sprayout-panels/1',
  panels: [
    {
      id: 'A',
      corners_px: [
        [10, 10],
        [90, 10],
        [90, 80],
        [10, 80],
      ],
    },
    {
      id: 'B',
      corners_px: [
        [110, 10],
        [190, 10],
        [190, 80],
        [110, 80],
      ],
    },
  ],
};

/** How many of the spoilt documents were read after all; every other must have been refused by a typed error. */
function read(document: unknown, parse: (json: unknown, where: string) => unknown, times: number): number {
  const random = seededRandom(42);
  let answers = 0;
  for (let i = 0; i < times; i++) {
    const text = spoilJsonText(document, random);
    try {
      parse(parseJson(text, 'spoilt.json'), 'spoilt.json');
      answers++;
    } catch (error) {
      if (!(error instanceof SprayoutError))
        throw new Error(`no typed error for ${text.slice(0, 3000)}`, { cause: error });
      expect(error.code).not.toBe('internal');
      expect(error.message.length).toBeLessThan(400);
      expect(error.hint).not.toBe('');
    }
  }
  return answers;
}

describe('spoilt documents are read or refused, never more', () => {
  it.each<[string, unknown, (json: unknown, where: string) => unknown]>([
    ['cards', OWN_CARD, parseCard],
    ['jobs', soundJob(), parseJob],
    ['panel files', PANELS, parsePanels],
  ])('%s', (_, document, parse) => {
    expect(() => parse(document, 'sound.json')).not.toThrow();
    const answers = read(document, parse, 300);
    expect(answers).toBeGreaterThan(0);
    expect(answers).toBeLessThan(250);
  });
});
