/** Every pair of panels in the lights that both were photographed in. */
import { mayBeOnePaint } from '../correction/index.ts';
import { drawsOf } from './drawn-difference.ts';
import { lightName } from './light-name.ts';
import { judgePair } from './pair-verdict.ts';
import { memberOf, photosOf, type Seen } from './seen.ts';
import type { PairInLights } from './types.ts';
import { lightWords, pairWords } from './words.ts';

export function pairsOf(seen: Seen): PairInLights[] {
  const { asSeen, things, photos, tolerances } = seen;
  const faces = things.flatMap((t, i) => (t.view === 'face' ? [i] : []));
  const told = (thing: number, photo: number) => {
    const member = memberOf(asSeen, thing, photo);
    return { lab: asSeen.ensemble.lab[member], draws: drawsOf(asSeen.ensemble, member) };
  };
  return faces.flatMap((i, at) =>
    faces.slice(at + 1).map((j): PairInLights => {
      const together = photosOf(seen, i).filter((p) => photosOf(seen, j).includes(p));
      const judged = judgePair(
        together.map((photo) => {
          const [a, b] = [told(i, photo), told(j, photo)];
          return { light: photos[photo].light, a: a.lab, b: b.lab, drawsA: a.draws, drawsB: b.draws };
        }),
        tolerances,
        { sameTints: mayBeOnePaint(things[i].paint, things[j].paint) },
      );
      return {
        a: things[i].id,
        b: things[j].id,
        by_light: together.map((photo, k) => ({
          light: photos[photo].light,
          photo: photos[photo].id,
          de00: judged.inLights[k].de00,
          interval95: judged.inLights[k].interval95,
        })),
        verdict: judged.verdict,
        words: pairWords(
          judged,
          together.map((photo) =>
            lightWords(
              photos[photo],
              together.map((p) => photos[p]),
            ),
          ),
          [...new Set(together.map((photo) => lightName(photos[photo].light)))],
          tolerances,
        ),
      };
    }),
  );
}
