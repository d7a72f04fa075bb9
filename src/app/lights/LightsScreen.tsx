import type { Job } from '../../../shared/schemas/job.ts';
import type { Lights } from '../../core/lights/types.ts';
import { inWords } from '../photos/in-words.ts';
import { unsaid } from '../photos/light.ts';
import { count } from '../photos/words.ts';
import { goTo } from '../shell/route.ts';
import { latestOf, photoSource, studyRequest, useAnswer, useDocument, useResults } from '../store/index.ts';
import { Button, EmptyState, Notice, Screen } from '../ui/index.ts';
import { callback } from '../worker/client.ts';
import { FaceAndFlop } from './FaceAndFlop.tsx';
import { InEveryLight } from './InEveryLight.tsx';
import { LightList } from './LightList.tsx';
import './lights.css';
import { PairsInLights } from './PairsInLights.tsx';
import { Surfaces } from './Surfaces.tsx';
import { lightsShown, standingsIn } from './standings.ts';

/** Does what matches here still match there? */
export default function LightsScreen() {
  const id = useDocument((d) => d.id);
  const job = useDocument((d) => d.job);
  const isMeasured = useResults((r) => latestOf(r.colours) !== undefined);
  const work = useAnswer(
    (bench) => {
      const request = studyRequest();
      if (!request) throw new Error('no job is open');
      return bench.lights(request, callback(photoSource));
    },
    isMeasured && job?.photos.length ? 'lights' : undefined,
  );
  if (!job) return null;
  const lights = latestOf(work);
  const toPhotos = (
    <Button kind={lights ? 'plain' : 'primary'} onPress={() => goTo('photos', id)}>
      {lights ? 'Add a photo in another light' : 'To the photos'}
    </Button>
  );
  if (!lights)
    return (
      <Screen
        sentence={work.state === 'working' ? 'Looking at the lights.' : 'Sun against shop light.'}
        next={toPhotos}
      >
        {work.state === 'failed' && <Notice problem={work.problem} />}
        {work.state !== 'working' && (
          <EmptyState title="Two lights tell more than one">
            <p>
              Photograph the same panels beside the card in the sun and under the shop light, and say at each
              photo which light it was. Then you see here what matches in both, and what parts.
            </p>
          </EmptyState>
        )}
      </Screen>
    );
  return <Shown job={job} lights={lights} toPhotos={toPhotos} onNext={() => goTo('board', id)} />;
}

interface ShownProps {
  readonly job: Job;
  readonly lights: Lights;
  readonly toPhotos: React.ReactNode;
  readonly onNext: () => void;
}

function Shown({ job, lights, toPhotos, onNext }: ShownProps) {
  const standings = standingsIn(job, lights);
  return (
    <Screen
      sentence={sentenceOf(lights, standings)}
      detail={detailOf(job, standings)}
      aside={
        <>
          <LightList job={job} lights={lights} />
          <FaceAndFlop job={job} lights={lights} />
          <p className="lights-doubt">{lights.cannot_tell}</p>
        </>
      }
      next={
        <>
          <Button kind="primary" onPress={onNext}>
            Keep the board
          </Button>
          {toPhotos}
        </>
      }
    >
      {unsaid(job).length > 0 && (
        <Notice>
          The light of {count(unsaid(job).length, 'photo')} is not said. Say it in Photos: each light is
          judged by its name.
        </Notice>
      )}
      {lights.warnings.map((w) => (
        <Notice key={w.message}>{inWords(job, w.message)}</Notice>
      ))}
      <InEveryLight white={job.white} standings={standings} lights={lightsShown(lights)} />
      <PairsInLights job={job} lights={lights} />
      <Surfaces job={job} />
    </Screen>
  );
}

function detailOf(job: Job, standings: ReturnType<typeof standingsIn>): string {
  if (standings.some(({ seen }) => seen.some((there) => there?.target)))
    return 'Each pair as the eye meets it in that light: the panel at the left, the target at the right.';
  return job.target
    ? 'Each panel as the eye meets it in that light. The target is in no photo with them.'
    : 'Each panel as the eye meets it in that light. Once a target is chosen, it stands beside them.';
}

function sentenceOf(lights: Lights, standings: ReturnType<typeof standingsIn>): string {
  const shown = lightsShown(lights);
  if (shown.length < 2) return 'All photos are in one light: another light may tell these panels apart.';
  const compared = standings.filter((s) => s.verdict !== undefined);
  const parting = compared.filter((s) => s.verdict === 'parts');
  const unsure = compared.filter((s) => s.verdict === 'unsure');
  if (parting.length > 0) return `${parting[0].name} ${parting[0].words}.`;
  if (compared.length === 0) return 'How each panel looks from light to light.';
  if (unsure.length > 0)
    return unsure.length === 1
      ? `${unsure[0].name} may part from light to light: look at it in both.`
      : `${unsure.length} panels may part from light to light: look at them in both.`;
  return 'What differs here differs there: no panel parts from light to light.';
}
