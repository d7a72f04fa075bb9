import { goTo } from '../shell/route.ts';
import { useDocument, usePhotoAddress, useResults } from '../store/index.ts';
import { Button, Screen } from '../ui/index.ts';

export default function PhotosScreen() {
  const id = useDocument((d) => d.id);
  const job = useDocument((d) => d.job);
  const reports = useResults((r) => r.photos);
  if (!job) return null;
  const read = job.photos.filter((p) => reports[p.id]?.state === 'done').length;
  return (
    <Screen
      sentence={
        job.photos.length === 0 ? 'No photos yet.' : `${read} of ${job.photos.length} photos are read.`
      }
      next={
        <Button kind="primary" onPress={() => goTo('match', id)}>
          See how far off
        </Button>
      }
    >
      {job.photos.map((p) => (
        <JobPhoto key={p.id} id={p.id} name={p.name ?? p.file} />
      ))}
    </Screen>
  );
}

function JobPhoto({ id, name }: { readonly id: string; readonly name: string }) {
  const address = usePhotoAddress(id);
  return address ? <img src={address} alt={name} /> : null;
}
