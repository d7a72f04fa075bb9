/**
 * The browser's processes killed (SIGKILL) at random moments during edits and imports, then opened again with the same
 * profile: whatever the screen had called saved is there, nothing is half there, and the jobs open. Six moments here;
 * SPRAYOUT_KILLS=50 npx vitest run tests/browser/kill.test.ts makes it fifty, some five minutes on two quiet cores.
 */
import { type ChildProcess, spawn } from 'node:child_process';
import { setTimeout as pause } from 'node:timers/promises';
import { type Browser, chromium as driver, type Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, inject, it } from 'vitest';
import { seededRandom } from '../../src/core/math/random.ts';
import { type ServedApp, serveApp } from '../../src/node/serve-app.ts';
import { bundleList } from '../job/bundled-job.ts';
import { soundJob } from '../job/sample-job.ts';
import { zipOf } from '../job/zip-files.ts';
import { ARGUMENTS, browserPath, temporaryProfile } from './harness.ts';

const MOMENTS = Number(process.env.SPRAYOUT_KILLS ?? 6);
/** Every so manieth moment is during an import, the others during edits. */
const IMPORT_EVERY = 3;
const PANELS = 8;
const PHOTO_BYTES = 600_000;

const random = seededRandom(20).uniform;
let served: ServedApp;
let profile: Awaited<ReturnType<typeof temporaryProfile>>;

beforeAll(async () => {
  served = await serveApp(inject('appFolder'));
  profile = await temporaryProfile();
});
afterAll(async () => {
  await served.close();
  await profile.remove();
});

interface Started {
  readonly page: Page;
  /** Ends all processes of the browser at once, as a lost battery would. */
  kill(): Promise<void>;
}

/** Starts a browser in a process group of its own, so that the whole of it can be killed. */
async function start(at: string): Promise<Started> {
  const child = spawn(
    await browserPath(),
    [...ARGUMENTS, '--remote-debugging-port=0', `--user-data-dir=${profile.folder}`, 'about:blank'],
    { detached: true, stdio: ['ignore', 'ignore', 'pipe'] },
  );
  const gone = new Promise<void>((resolve) => child.once('exit', () => resolve()));
  let browser: Browser;
  try {
    browser = await driver.connectOverCDP(await debuggingAddress(child));
  } catch (error) {
    killGroup(child);
    throw error;
  }
  const context = browser.contexts()[0];
  const page = context.pages()[0] ?? (await context.newPage());
  await page.goto(`${served.address}${at}`);
  return {
    page,
    async kill() {
      killGroup(child);
      await gone;
      await browser.close().catch(() => {});
    },
  };
}

function killGroup({ pid }: ChildProcess): void {
  if (pid !== undefined) process.kill(-pid, 'SIGKILL');
}

function debuggingAddress(child: ChildProcess): Promise<string> {
  return new Promise((resolve, reject) => {
    let said = '';
    child.stderr?.on('data', (chunk) => {
      said += chunk;
      const address = /DevTools listening on (ws:\S+)/.exec(said)?.[1];
      if (address) resolve(address);
    });
    child.once('exit', () => reject(new Error(`the browser ended: ${said.slice(-500)}`)));
  });
}

const job = {
  ...soundJob(),
  photos: [],
  panels: Array.from({ length: PANELS }, (_, i) => ({ id: `p${i}`, measured: [] })),
};

/** A bundle with one photo of random bytes, which measuring refuses and storing does not mind. */
function bundle(name: string): Buffer {
  const photo = Uint8Array.from({ length: PHOTO_BYTES }, () => 256 * random());
  const files = { 'job.json': JSON.stringify({ ...soundJob(), name }), 'photos/sun.jpg': photo };
  return Buffer.from(
    zipOf([
      { name: 'bundle.json', content: JSON.stringify(bundleList(files)) },
      ...Object.entries(files).map(([path, content]) => ({ name: path, content })),
    ]),
  );
}

/** Hands a bundle to the page. `saved` resolves to the job's key when the screen says that it is saved. */
async function bringIn(page: Page, name: string): Promise<{ readonly saved: Promise<string> }> {
  await page.getByRole('button', { name: 'Bring in a copy' }).waitFor();
  await page
    .locator('.jobs-drop input[type=file]')
    .setInputFiles({ name: `${name}.zip`, mimeType: 'application/zip', buffer: bundle(name) });
  const brought = async (): Promise<string> => {
    await page.waitForURL(/#\/photos\//);
    await page.locator('.saved[data-state=saved]').waitFor();
    return new URL(page.url()).hash.split('/')[2];
  };
  return { saved: brought() };
}

/** Edits without end, numbered; tells the number whenever the screen says that what it shows is saved. */
async function editOn(page: Page, from: number, told: (edit: number) => void): Promise<void> {
  await page.waitForFunction(() => window.sprayout.documentStore.getState().job !== undefined);
  await page.locator('.saved[data-state=saved]').waitFor();
  await page.exposeFunction('told', told);
  await page.evaluate(
    ([first, panels]) => {
      const { documentStore, edit } = window.sprayout;
      const mark = document.querySelector<HTMLElement>('.saved') as HTMLElement;
      const tell = (): void => {
        const { saved, job } = documentStore.getState();
        if (mark.dataset.state === 'saved' && saved.state === 'saved')
          (window as unknown as { told: (n: number) => void }).told(Number(job?.notes));
      };
      new MutationObserver(tell).observe(mark, { attributes: true, attributeFilter: ['data-state'] });
      let n = first;
      const next = (): void => {
        n++;
        edit('Note', (d) => {
          d.notes = String(n);
          d.panels[n % panels].notes = String(n);
        });
        // some on the heels of others, some with time to be saved
        setTimeout(next, n % 7 < 3 ? 0 : 40 * Math.random());
      };
      next();
    },
    [from, PANELS] as const,
  );
}

interface StoredJob {
  readonly id: string;
  readonly name: string;
  readonly notes: string;
  readonly panelNotes: readonly string[];
  readonly photos: number;
  readonly photoBytes: number;
}

/** What the database holds, read past the app. */
function storedJobs(page: Page): Promise<readonly StoredJob[]> {
  return page.evaluate(async () => {
    const settled = <T>(request: IDBRequest<T>): Promise<T> =>
      new Promise((resolve, reject) => {
        request.onsuccess = () => resolve(request.result);
        request.onerror = () => reject(request.error);
      });
    const database = await settled(indexedDB.open('sprayout'));
    const store = (name: string): IDBObjectStore => database.transaction(name).objectStore(name);
    type Row = {
      id: string;
      job: { name: string; notes?: string; panels: { notes?: string }[]; photos: unknown[] };
    };
    const rows = (await settled(store('jobs').getAll())) as Row[];
    const photos = (await settled(store('photos').getAll())) as { job: string; blob: Blob }[];
    const sizes = await Promise.all(photos.map(async (p) => (await p.blob.arrayBuffer()).byteLength));
    database.close();
    return rows.map(({ id, job: { name, notes = '0', panels, photos: named } }) => ({
      id,
      name,
      notes,
      panelNotes: panels.map((p) => p.notes ?? '0'),
      photos: named.length,
      photoBytes: sizes.reduce((sum, bytes, i) => (photos[i].job === id ? sum + bytes : sum), 0),
    }));
  });
}

/** Edit n leaves on each panel the last number up to n that is its own. */
const notesAfter = (n: number): string[] =>
  Array.from({ length: PANELS }, (_, i) => String(Math.max(0, n - ((((n - i) % PANELS) + PANELS) % PANELS))));

describe('the browser killed at any moment', () => {
  it(`keeps what it called saved, ${MOMENTS} times`, { timeout: 60_000 + MOMENTS * 60_000 }, async () => {
    let browser = await start('#/jobs');
    await browser.page.getByRole('button', { name: 'Start a job' }).click();
    await browser.page.waitForURL(/#\/photos\//);
    const edited = new URL(browser.page.url()).hash.split('/')[2];
    await browser.page.evaluate(
      ([panels]) =>
        window.sprayout.edit('Begin', (d) => {
          d.panels = panels.map((p) => ({ ...p, measured: [] }));
          d.notes = '0';
        }),
      [job.panels] as const,
    );
    let reached = 0;
    const seen = { edits: 0, imports: 0, confirmedEdits: 0, confirmedImports: 0, halfway: 0 };
    const imported: string[] = [];
    for (let moment = 1; moment <= MOMENTS; moment++) {
      const { page } = browser;
      let confirmed = reached;
      const isImport = moment % IMPORT_EVERY === 0;
      const after_ms = Math.round(1500 * random());
      if (isImport) {
        await page.goto(`${served.address}#/jobs`);
        const { saved } = await bringIn(page, `import ${moment}`);
        saved.then(
          (id) => imported.push(id),
          () => {}, // the browser was quicker gone
        );
      } else {
        await page.goto(`${served.address}#/board/${edited}`);
        await editOn(page, reached, (n) => {
          confirmed = Math.max(confirmed, n);
        });
      }
      await pause(after_ms);
      await browser.kill();

      browser = await start(`#/board/${edited}`);
      await browser.page.waitForFunction(
        () => window.sprayout?.documentStore.getState().job !== undefined,
        undefined,
        { timeout: 45_000 },
      );
      const stored = await storedJobs(browser.page);
      const own = stored.find((j) => j.id === edited) as StoredJob;
      const n = Number(own.notes);
      expect(n).toBeGreaterThanOrEqual(confirmed);
      expect(own.panelNotes.slice(0, PANELS)).toEqual(notesAfter(n));
      for (const other of stored.filter((j) => j.id !== edited))
        expect(other.photoBytes).toBe(other.photos * PHOTO_BYTES);
      expect(stored.map((j) => j.id)).toEqual(expect.arrayContaining(imported));
      seen[isImport ? 'imports' : 'edits']++;
      seen.confirmedEdits += confirmed - reached;
      seen.halfway += n - confirmed;
      seen.confirmedImports = imported.length;
      reached = n;
      console.log(
        isImport
          ? `moment ${moment}: killed ${after_ms} ms into an import; ${stored.length - 1} imported jobs there, whole`
          : `moment ${moment}: killed ${after_ms} ms into edits; ${confirmed} called saved, ${n} there`,
      );
    }
    for (const id of imported) {
      await browser.page.goto(`${served.address}#/photos/${id}`);
      await browser.page.waitForFunction((key) => {
        const { id: open, job: shown } = window.sprayout.documentStore.getState();
        return open === key && shown?.photos.length === 1;
      }, id);
    }
    await browser.kill();
    console.log(
      `${MOMENTS} kills, ${seen.edits} during edits and ${seen.imports} during imports: ${seen.confirmedEdits} edits and ` +
        `${seen.confirmedImports} imports called saved before, all there; ${seen.halfway} edits more had come through.`,
    );
    expect(seen.confirmedEdits).toBeGreaterThan(0);
  });
});
