import './photos.css';
import './photo-panels.css';
import './photo-stage.css';
import type { Job } from '../../../shared/schemas/job.ts';
import { useDocument } from '../store/index.ts';
import { EmptyPhotos } from './EmptyPhotos.tsx';
import { PhotoBench } from './PhotoBench.tsx';
import { useAdding, usePageDrop } from './use-adding.ts';

/** Can these photos be trusted, and is every panel outlined and labelled? */
export default function PhotosScreen() {
  const id = useDocument((d) => d.id);
  const job = useDocument((d) => d.job);
  return job ? <Photos key={id} job={job} /> : null;
}

function Photos({ job }: { readonly job: Job }) {
  const adding = useAdding(job);
  const isOver = usePageDrop(adding.add);
  return (
    <>
      {job.photos.length === 0 ? <EmptyPhotos adding={adding} /> : <PhotoBench job={job} adding={adding} />}
      {isOver && <div className="photos-drop">Let go to add the photos</div>}
    </>
  );
}
