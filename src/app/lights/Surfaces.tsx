import { useState } from 'react';
import type { Job } from '../../../shared/schemas/job.ts';
import type { Texture } from '../../core/panel/texture/index.ts';
import { photoInWords } from '../photos/in-words.ts';
import { latestOf, panelName, photoSource, studyRequest, useAnswer } from '../store/index.ts';
import { formatInterval, formatNumber, Notice, Select } from '../ui/index.ts';
import { callback } from '../worker/client.ts';
import type { PhotoSurfaces } from '../worker/protocol.ts';
import { EvennessPicture, EvennessScale } from './EvennessPicture.tsx';
import { lightTitle } from './standings.ts';

type Surface = PhotoSurfaces['panels'][number];

/** How even each panel of a photo is, and how its texture stands to the others'. */
export function Surfaces({ job }: { readonly job: Job }) {
  const photos = job.photos.filter((p) => p.view === 'face');
  const [chosen, setChosen] = useState<string>();
  const photo = photos.find((p) => p.id === chosen) ?? photos[0];
  const work = useAnswer((bench) => {
    const request = studyRequest();
    if (!request || !photo) throw new Error('no photo is open');
    return bench.surfaces(request, photo.id, callback(photoSource));
  }, photo && `surfaces ${photo.id}`);
  if (!photo) return null;
  const shown = latestOf(work);
  const choices = photos.map((p) => ({
    id: p.id,
    words: `${lightTitle(p.light)} (${photoInWords(job, p.id)})`,
  }));
  return (
    <section className="lights-surfaces" aria-label="Surface">
      <h2>Surface: how even, how coarse</h2>
      <div className="lights-fields">
        <Select label="In the photo" value={photo.id} choices={choices} onCommit={setChosen} />
      </div>
      {work.state === 'failed' && <Notice problem={work.problem} />}
      {work.state === 'working' && <p role="status">Looking closely at the panels.</p>}
      {shown && <PhotoPanels job={job} surfaces={shown} />}
    </section>
  );
}

function PhotoPanels({ job, surfaces }: { readonly job: Job; readonly surfaces: PhotoSurfaces }) {
  const { panels, heldAgainst } = surfaces;
  if (panels.length === 0) return <p>No panel has a place in this photo.</p>;
  const isTextured = panels.some((p) => p.texture);
  const most = Math.max(...panels.map((p) => p.texture?.interval95[1] ?? 0));
  return (
    <>
      <EvennessScale />
      {!isTextured && <p className="lights-doubt">Texture is not told here: {panels[0].remarks[0]}.</p>}
      <ul className="lights-panels">
        {panels.map((surface) => {
          const name = panelName(job, surface.panel);
          return (
            <li key={surface.panel}>
              {surface.evenness ? (
                <EvennessPicture map={surface.evenness} label={`${name}: ${surface.evenness_words}`} />
              ) : (
                <span className="lights-map lights-map-none">hidden by glare or dirt</span>
              )}
              <strong>{name}</strong>
              <span>{surface.evenness_words ?? 'How even it is can’t be told here'}</span>
              {surface.texture && (
                <TextureLine
                  texture={surface.texture}
                  most={most}
                  against={
                    heldAgainst === surface.panel
                      ? 'the others are held against this one'
                      : surface.against_words &&
                        `${surface.against_words} against ${panelName(job, heldAgainst ?? '')}`
                  }
                />
              )}
              {isTextured && <Remarks surface={surface} />}
            </li>
          );
        })}
      </ul>
    </>
  );
}

interface TextureLineProps {
  readonly texture: Texture;
  /** Where the scale ends. */
  readonly most: number;
  readonly against: string | undefined;
}

/** Strength on one scale for all panels of the photo: the bar is the interval, the line the figure. */
function TextureLine({ texture, most, against }: TextureLineProps) {
  const { kind, figure, interval95, grain_mm } = texture;
  const at = (v: number): string => `${(100 * v) / most}%`;
  return (
    <>
      <span className="lights-strength" aria-hidden="true">
        <span style={{ left: at(interval95[0]), right: `calc(100% - ${at(interval95[1])})` }} />
        <i style={{ left: at(figure) }} />
      </span>
      <span className="numbers">
        {kind} {formatNumber(figure)}, {formatInterval(interval95)}, grain about {formatNumber(grain_mm)} mm
      </span>
      {against && <span>{against}</span>}
    </>
  );
}

function Remarks({ surface }: { readonly surface: Surface }) {
  return surface.remarks.map((remark) => (
    <span key={remark} className="lights-words">
      {remark}
    </span>
  ));
}
