import { execFileSync } from 'node:child_process';
import { existsSync } from 'node:fs';
import { mkdtemp, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { readBundle } from '../../src/node/read-bundle.ts';
import { readCard } from '../../src/node/read-card.ts';
import { readJob } from '../../src/node/read-job.ts';
import { readPanels } from '../../src/node/read-panels.ts';
import { readPhoto } from '../../src/node/read-photo.ts';
import { readReadings } from '../../src/node/read-readings.ts';

let folder: string;
beforeAll(async () => {
  folder = await mkdtemp(join(tmpdir(), 'sprayout-plain-'));
  if (existsSync('/dev/zero')) execFileSync('mkfifo', [join(folder, 'pipe')]);
});
afterAll(() => rm(folder, { recursive: true }));

describe.runIf(existsSync('/dev/zero'))('what has no end', () => {
  it.each([
    ['photo', readPhoto],
    ['card', readCard],
    ['panels file', readPanels],
    ['job', readJob],
    ['bundle', readBundle],
    ['readings file', readReadings],
  ] as const)('is not read as a %s', async (_, read) => {
    for (const path of ['/dev/zero', join(folder, 'pipe'), folder])
      await expect(read(path)).rejects.toMatchObject({ name: 'SprayoutError', code: 'file-unreadable' });
  });
});
