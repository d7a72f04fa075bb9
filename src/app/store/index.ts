/** The stores that screens read, and how they change the job. */
export {
  closeJob,
  type DocumentState,
  discardUnsaved,
  documentStore,
  edit,
  jobInHand,
  openCards,
  openJob,
  openPhoto,
  openUnsaved,
  redo,
  retrySaving,
  type Saved,
  type UnsavedJob,
  undo,
  useDocument,
} from './document.ts';
export { emptyJob, freeId, panelIn, panelName, photoIn } from './find.ts';
export { panelMarks } from './marks.ts';
export { resultsStore, useResults } from './results.ts';
export {
  chooseMarks,
  chooseTheme,
  chooseTolerances,
  chooseVolumeUnit,
  leaveLight,
  lookAtPhoto,
  selectPanel,
  sessionStore,
  type Theme,
  tell,
  useSession,
  type VolumeUnit,
} from './session.ts';
export { openShownPhoto } from './shown-photo.ts';
export { photoSource, stopWork, study, studyRequest, withOwnTolerances } from './studying.ts';
export { useAnswer } from './use-answer.ts';
export { usePhotoAddress } from './use-photo-address.ts';
export { type AppProblem, latestOf, type Work } from './work.ts';
