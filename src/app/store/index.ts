/** The stores that screens read, and how they change the job. */
export {
  closeJob,
  type DocumentState,
  documentStore,
  edit,
  openCards,
  openJob,
  openPhoto,
  openUnsaved,
  redo,
  retrySaving,
  type Saved,
  undo,
  useDocument,
} from './document.ts';
export { emptyJob, freeId, panelIn, panelName, photoIn } from './find.ts';
export { resultsStore, useResults } from './results.ts';
export {
  chooseTheme,
  chooseVolumeUnit,
  lookAtPhoto,
  selectPanel,
  sessionStore,
  type Theme,
  tell,
  useSession,
  type VolumeUnit,
} from './session.ts';
export { photoSource, stopWork, study, studyRequest } from './studying.ts';
export { useAnswer } from './use-answer.ts';
export { usePhotoAddress } from './use-photo-address.ts';
export { type AppProblem, latestOf, type Work } from './work.ts';
