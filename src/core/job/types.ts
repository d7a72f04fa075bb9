export type { Job, JobPanel, Measured, Mix } from '../../../shared/schemas/job.ts';
