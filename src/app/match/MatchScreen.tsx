import { useState } from 'react';
import type { Job } from '../../../shared/schemas/job.ts';
import type { Comparison } from '../../core/compare/index.ts';
import { inWords } from '../photos/in-words.ts';
import { goTo } from '../shell/route.ts';
import { latestOf, panelName, useDocument, useResults } from '../store/index.ts';
import { Button, EmptyState, Notice, Screen } from '../ui/index.ts';
import { standingsOf } from './against.ts';
import { showOnMatch, useShownOnMatch } from './chosen.ts';
import { FiguresTable } from './FiguresTable.tsx';
import './match.css';
import { Pairs } from './Pairs.tsx';
import { Planes } from './Planes.tsx';
import { RankedList } from './RankedList.tsx';
import { closestSentence, verdictSentence } from './sentences.ts';
import { TargetDialog } from './TargetDialog.tsx';
import { Together } from './Together.tsx';
import { ToleranceFields } from './ToleranceFields.tsx';

/** How far is each panel from the target, and which way? */
export default function MatchScreen() {
  const id = useDocument((d) => d.id);
  const job = useDocument((d) => d.job);
  const work = useResults((r) => r.comparison);
  const [isChoosing, setChoosing] = useState(false);
  if (!job) return null;
  const comparison = latestOf(work);
  const choose = (
    <Button kind={job.target ? 'plain' : 'primary'} onPress={() => setChoosing(true)}>
      {job.target ? 'Change the target' : 'Choose the target'}
    </Button>
  );
  const dialog = <TargetDialog job={job} isOpen={isChoosing} onClose={() => setChoosing(false)} />;
  const problem = work.state === 'failed' && <Notice problem={work.problem} />;
  // said by the heading; what the core proposes besides a photo, readings of panels, has no field here
  const saysNothingMeasured = work.state === 'failed' && work.problem.code === 'not-enough-panels';
  if (!comparison || comparison.panels.length === 0)
    return (
      <Screen
        sentence="Nothing is measured yet."
        next={
          <Button kind="primary" onPress={() => goTo('photos', id)}>
            To the photos
          </Button>
        }
      >
        {!saysNothingMeasured && problem}
        {work.state === 'working' ? (
          <p>The photos are being read.</p>
        ) : (
          <EmptyState title="First a photo">
            <p>
              Photograph your panels beside the card. Then they are ranked here by how far they are from the
              colour you want: a sample in a photo, what an instrument read, or one of the panels.
            </p>
          </EmptyState>
        )}
        {dialog}
      </Screen>
    );
  return (
    <Compared
      key={id}
      id={id}
      job={job}
      comparison={comparison}
      problem={problem}
      choose={choose}
      dialog={dialog}
      onNext={() => goTo('mix', id)}
    />
  );
}

interface ComparedProps {
  readonly id: string | undefined;
  readonly job: Job;
  readonly comparison: Comparison;
  readonly problem: React.ReactNode;
  readonly choose: React.ReactNode;
  readonly dialog: React.ReactNode;
  readonly onNext: () => void;
}

function Compared({ id, job, comparison, problem, choose, dialog, onNext }: ComparedProps) {
  const chosen = useShownOnMatch(id);
  const standings = standingsOf(job, comparison);
  const target = comparison.panels.find((p) => p.id === 'target');
  const [closest] = standings;
  const warnings = comparison.warnings.map((w) => (
    <Notice
      key={w.message}
      problem={{ code: w.code, message: inWords(job, w.message), hint: '' }}
      kind="note"
    />
  ));
  if (!target || !closest)
    return (
      <Screen
        sentence={job.target ? 'The target is not measured yet.' : 'Which colour are you matching?'}
        detail="Take one of your panels, what an instrument read, or a place in a photo: a customer’s sample beside the card."
        next={choose}
      >
        {problem}
        <Pairs job={job} comparison={comparison} />
        {warnings}
        {dialog}
      </Screen>
    );
  const show = (panel: string): void => showOnMatch(id, panel);
  const selected = standings.find((s) => s.panel === chosen) ?? closest;
  const named = { name: panelName(job, 'target'), lab: target.lab };
  return (
    <Screen
      sentence={closestSentence(closest)}
      detail={verdictSentence(closest.difference)}
      aside={
        <>
          <RankedList
            standings={standings}
            target={named}
            white={comparison.white}
            tolerances={comparison.tolerances}
            selected={selected.panel}
            onSelect={show}
          />
          <ToleranceFields tolerances={comparison.tolerances} />
        </>
      }
      next={
        <>
          <Button kind="primary" onPress={onNext}>
            See what to change
          </Button>
          {choose}
        </>
      }
    >
      {problem}
      <Together standing={selected} target={named} white={comparison.white} />
      <Planes
        job={job}
        standings={standings}
        target={named}
        selected={selected.panel}
        onSelect={show}
        white={comparison.white}
      />
      <FiguresTable standings={standings} panels={comparison.panels} />
      <Pairs job={job} comparison={comparison} />
      {warnings}
      {dialog}
    </Screen>
  );
}
