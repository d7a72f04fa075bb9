import type { Job } from '../../../shared/schemas/job.ts';
import { edit, latestOf, panelIn, panelName, useResults } from '../store/index.ts';
import { Button, formatNumber, Notice } from '../ui/index.ts';

/** Panels that disagree with the rest, and those the painter has set aside. */
export function Disagreeing({ job }: { readonly job: Job }) {
  const film = latestOf(useResults((r) => r.film));
  const setAside = (id: string, aside: boolean): void => {
    edit(aside ? 'Set a panel aside' : 'Take a panel back', (draft) => {
      const panel = panelIn(draft, id);
      if (!panel) return;
      if (aside) panel.set_aside = true;
      else delete panel.set_aside;
    });
  };
  const suspects = film?.residuals.filter((r) => r.suspect && !panelIn(job, r.id)?.set_aside) ?? [];
  const aside = job.panels.filter((p) => p.set_aside);
  return (
    <>
      {suspects.map((r) => (
        <Notice
          key={r.id}
          kind="problem"
          actions={<Button onPress={() => setAside(r.id, true)}>Set {panelName(job, r.id)} aside</Button>}
        >
          <strong>
            {panelName(job, r.id)} is {formatNumber(r.de00_alone ?? r.de00)} away from what its recipe
            predicts.
          </strong>
          <span>Check its label and its coats. Set aside, it no longer counts in the advice.</span>
        </Notice>
      ))}
      {aside.map((panel) => (
        <Notice
          key={panel.id}
          actions={
            <Button onPress={() => setAside(panel.id, false)}>Take {panelName(job, panel.id)} back</Button>
          }
        >
          {panelName(job, panel.id)} is set aside: compared, but not counted in the advice.
        </Notice>
      ))}
    </>
  );
}
