import type { Job } from '../../../shared/schemas/job.ts';
import type { Names } from '../../core/advise/index.ts';
import { filmNames } from '../../core/study/index.ts';
import { panelName } from '../store/find.ts';

/** Names for advice on the screen, where panels are known by name; one of several words is quoted. */
export const adviceNames = (job: Job): Names => ({
  ...filmNames(job),
  panel(id) {
    const name = panelName(job, id);
    return name === id || /^\S+ \d+$/.test(name) ? name : `“${name}”`;
  },
});
