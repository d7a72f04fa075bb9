import './photos.css';
import './photo-stage.css';
import { useDocument } from '../store/index.ts';
import { EmptyPhotos } from './EmptyPhotos.tsx';
import { PhotoBench } from './PhotoBench.tsx';

/** Can these photos be trusted, and is every panel outlined and labelled? */
export default function PhotosScreen() {
  const id = useDocument((d) => d.id);
  const job = useDocument((d) => d.job);
  if (!job) return null;
  return job.photos.length === 0 ? <EmptyPhotos key={id} job={job} /> : <PhotoBench key={id} job={job} />;
}
