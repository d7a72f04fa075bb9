import { useState } from 'react';
import { PAPERS, type Paper } from '../../core/card/draw/sheet.ts';
import { type AppProblem, tell } from '../store/index.ts';
import { download } from '../ui/download.ts';
import { Button, Disclosure, Notice } from '../ui/index.ts';
import { bench } from '../worker/client.ts';
import './print-card.css';

const PAPER_WORDS: Readonly<Record<Paper, string>> = { a4: 'A4', letter: 'letter' };

const BROKEN_OFF: AppProblem = {
  code: 'broken-off',
  message: 'Drawing the card broke off.',
  hint: 'Try again; nothing is lost.',
};

/** The card that every photo needs, as a page to print. */
export function PrintCard() {
  const [busy, setBusy] = useState<Paper>();
  const [problem, setProblem] = useState<AppProblem>();
  const save = async (paper: Paper): Promise<void> => {
    setBusy(paper);
    const part = await bench()
      .cardPage(paper)
      .catch(() => ({ ok: false as const, problem: BROKEN_OFF }));
    setBusy(undefined);
    setProblem(part.ok ? undefined : part.problem);
    if (!part.ok) return;
    const page = new Blob([part.value.slice()], { type: 'application/pdf' });
    download(page, `Card to print, ${PAPER_WORDS[paper]}.pdf`);
    tell('The card is saved as a PDF.');
  };
  return (
    <section aria-label="The card to print">
      <Disclosure title="No card at hand? Print one">
        <div className="jobs-print-card">
          <p>
            On matt paper, in best quality, at 100 % (“actual size”, not “fit to page”). Check the 100 mm line
            with a ruler and let the ink dry.
          </p>
          <div className="jobs-print-card-buttons">
            {PAPERS.map((paper) => (
              <Button key={paper} isDisabled={busy !== undefined} onPress={() => save(paper)}>
                {busy === paper ? 'Drawing the card…' : `Save the card to print, ${PAPER_WORDS[paper]}`}
              </Button>
            ))}
          </div>
          {problem && <Notice problem={problem} />}
        </div>
      </Disclosure>
    </section>
  );
}
