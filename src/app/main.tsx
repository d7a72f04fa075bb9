import '@fontsource/inter/latin-400.css';
import '@fontsource/inter/latin-600.css';
import '@fontsource/inter/latin-ext-400.css';
import '@fontsource/inter/latin-ext-600.css';
import './ui/tokens.css';
import './ui/ui.css';
import './shell/shell.css';
import { StrictMode } from 'react';
import { createRoot } from 'react-dom/client';
import { eraseLongDeleted } from './library/jobs.ts';
import { registerOffline } from './offline/register.ts';
import { App } from './shell/App.tsx';
import { offerUpdate } from './shell/update.ts';
import { documentStore, edit } from './store/document.ts';
import { resultsStore } from './store/results.ts';
import { tell } from './store/session.ts';
import { followDocument, photoSource, studyRequest } from './store/studying.ts';
import { type Bench, bench, callback } from './worker/client.ts';
import type { PhotoSource, StudyRequest } from './worker/protocol.ts';

/** Asks the worker about the open job. */
function ask<Answer>(question: (bench: Bench, request: StudyRequest, source: PhotoSource) => Answer): Answer {
  const request = studyRequest();
  if (!request) throw new Error('no job is open');
  return question(bench(), request, callback(photoSource));
}

// what the screens know, for the console and for tests in a browser
Object.assign(window, { sprayout: { documentStore, resultsStore, edit, ask } });

followDocument();
eraseLongDeleted().catch(() => {
  // where nothing can be stored there is nothing to erase
});
createRoot(document.getElementById('app') as HTMLElement).render(
  <StrictMode>
    <App />
  </StrictMode>,
);
registerOffline({
  onReady: () => tell('Ready: the app now works without a network.'),
  onUpdate: offerUpdate,
}).catch(() => {
  // without it the app works all the same, as long as there is a network
});
