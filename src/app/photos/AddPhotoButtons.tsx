import { FileTrigger } from 'react-aria-components';
import { AddIcon, Button, PhotosIcon } from '../ui/index.ts';
import { bench } from '../worker/client.ts';

/** While the painter takes or picks photos, what will look for panels in them is loaded. */
export function expectPhotos(): void {
  bench()
    .prepareFinder()
    .catch(() => {
      // it is loaded when it is asked, then
    });
}

interface AddPhotoButtonsProps {
  readonly onFiles: (files: readonly File[]) => void;
  /** To take a photo is what comes first now. */
  readonly isFirst?: boolean;
}

/** Camera and files. Where there is no camera, or it is denied, the first asks for files as well. */
export function AddPhotoButtons({ onFiles, isFirst = false }: AddPhotoButtonsProps) {
  const take = (list: FileList | null): void => {
    if (list && list.length > 0) onFiles([...list]);
  };
  return (
    <>
      <FileTrigger acceptedFileTypes={['image/*']} defaultCamera="environment" onSelect={take}>
        <Button kind={isFirst ? 'primary' : 'plain'} icon={<PhotosIcon />} onPress={expectPhotos}>
          Take a photo
        </Button>
      </FileTrigger>
      <FileTrigger acceptedFileTypes={['image/*', '.heic', '.heif', '.dng']} allowsMultiple onSelect={take}>
        <Button icon={<AddIcon />} onPress={expectPhotos}>
          Choose photos
        </Button>
      </FileTrigger>
    </>
  );
}

/** The same photo once more: a new one in its place. */
export function RetakeButton({ onFiles }: { readonly onFiles: (files: readonly File[]) => void }) {
  return (
    <FileTrigger
      acceptedFileTypes={['image/*']}
      defaultCamera="environment"
      onSelect={(list) => {
        if (list && list.length > 0) onFiles([...list]);
      }}
    >
      <Button onPress={expectPhotos}>Take it again</Button>
    </FileTrigger>
  );
}
