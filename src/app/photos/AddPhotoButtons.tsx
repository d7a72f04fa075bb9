import { FileTrigger } from 'react-aria-components';
import { AddIcon, Button, PhotosIcon } from '../ui/index.ts';

interface AddPhotoButtonsProps {
  readonly onFiles: (files: readonly File[]) => void;
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
        <Button kind={isFirst ? 'primary' : 'plain'} icon={<PhotosIcon />}>
          Take a photo
        </Button>
      </FileTrigger>
      <FileTrigger acceptedFileTypes={['image/*', '.heic', '.heif', '.dng']} allowsMultiple onSelect={take}>
        <Button icon={<AddIcon />}>Choose photos</Button>
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
      <Button>Take it again</Button>
    </FileTrigger>
  );
}
