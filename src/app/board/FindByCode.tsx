import { useRef, useState } from 'react';
import { jobReference } from '../../core/board/code.ts';
import { listJobs } from '../library/jobs.ts';
import { showOnMatch } from '../match/chosen.ts';
import { goTo } from '../shell/route.ts';
import { tell } from '../store/index.ts';
import type { AppProblem } from '../store/work.ts';
import { Button, Disclosure, Notice } from '../ui/index.ts';
import { bench } from '../worker/client.ts';
import type { BoardFind } from '../worker/protocol.ts';

const BROKEN_OFF = {
  code: 'broken-off',
  message: 'Reading the photo broke off.',
  hint: 'Try again; nothing is lost.',
};

/** From a board in the hand back to its record. */
export function FindByCode() {
  const input = useRef<HTMLInputElement>(null);
  const [problem, setProblem] = useState<AppProblem>();
  const [found, setFound] = useState<BoardFind>();
  const look = async (photo: File | undefined): Promise<void> => {
    if (!photo) return;
    setProblem(undefined);
    setFound(undefined);
    const part = await bench()
      .readBoardCode(photo)
      .catch(() => ({ ok: false as const, problem: BROKEN_OFF }));
    if (!part.ok) return setProblem(part.problem);
    const job = (await listJobs()).find((j) => jobReference(j.job.name) === part.value.job);
    if (!job) return setFound(part.value);
    const [first] = part.value.panels;
    if (first) showOnMatch(job.id, first.id);
    tell(`Found: ${job.job.name}.`);
    goTo('match', job.id);
  };
  return (
    <Disclosure title="Find the record of a printed board">
      <div className="board-find">
        <p>Photograph the code on the board: it opens the job it came from, if that is on this device.</p>
        <input
          ref={input}
          type="file"
          accept="image/*"
          hidden
          onChange={(event) => {
            look(event.currentTarget.files?.[0]);
            event.currentTarget.value = '';
          }}
        />
        <Button onPress={() => input.current?.click()}>Read a board’s code</Button>
        {problem && <Notice problem={problem} />}
        {found && (
          <Notice>
            <strong>The job is not on this device. The code itself says:</strong>
            <ul>
              {found.panels.map((p) => (
                <li key={p.id} className="numbers">
                  {p.id}
                  {p.recipe && `: ${p.recipe}`}
                  {p.lab && `, L* ${p.lab[0]} a* ${p.lab[1]} b* ${p.lab[2]}`}
                </li>
              ))}
            </ul>
          </Notice>
        )}
      </div>
    </Disclosure>
  );
}
