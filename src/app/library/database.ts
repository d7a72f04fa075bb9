/** What the app keeps in the browser's own database. Everything stays on this machine. */
import Dexie, { type EntityTable, type Table } from 'dexie';
import type { CardDefinition } from '../../../shared/schemas/card.ts';
import type { Job } from '../../../shared/schemas/job.ts';
import type { Lab } from '../../core/color/index.ts';

export interface JobRow {
  readonly id: string;
  /** Counts the edits; a writer adds one. */
  readonly revision: number;
  readonly job: Job;
  readonly created_ms: number;
  readonly changed_ms: number;
  /** When the job was deleted; it can be put back until it is erased. */
  readonly deleted_ms?: number | undefined;
}

/** A photo's bytes never change under its id: a photo taken again is a new photo. */
export interface PhotoRow {
  readonly job: string;
  readonly id: string;
  readonly blob: Blob;
}

/** A card definition that a job's photos name by `path`. */
export interface CardRow {
  readonly job: string;
  readonly path: string;
  readonly card: CardDefinition;
}

/** Measured colours of a job, for searching over all jobs. `lab` holds L*, a*, b* of each panel in turn. */
export interface ColoursRow {
  readonly job: string;
  readonly white: string;
  readonly ids: readonly string[];
  readonly lab: Float32Array;
  readonly target?: Lab | undefined;
}

export type Database = Dexie & {
  jobs: EntityTable<JobRow, 'id'>;
  photos: Table<PhotoRow, [string, string]>;
  cards: Table<CardRow, [string, string]>;
  colours: EntityTable<ColoursRow, 'job'>;
};

/** Strict: a transaction is complete only when it is on the disk, so that "saved" means saved. */
export const database = new Dexie('sprayout', { chromeTransactionDurability: 'strict' }) as Database;

database.version(1).stores({
  jobs: 'id, changed_ms',
  photos: '[job+id], job',
  cards: '[job+path], job',
  colours: 'job',
});
database.version(2).stores({ jobs: 'id, changed_ms, deleted_ms' });
