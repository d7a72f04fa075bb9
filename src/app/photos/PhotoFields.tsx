import type { Job, JobPhoto } from '../../../shared/schemas/job.ts';
import { Button, Disclosure, Select, TextField } from '../ui/index.ts';
import { RetakeButton } from './AddPhotoButtons.tsx';
import { CardFileButton, RemovePhotoButton } from './CardProblem.tsx';
import { chooseCard, knownCards, OWN } from './card-choice.ts';
import { changePhoto } from './edits.ts';
import { LIGHTS, type Light, sayLight } from './light.ts';
import { photoName } from './photo-state.ts';

const VIEWS: readonly { readonly id: JobPhoto['view']; readonly words: string }[] = [
  { id: 'face', words: 'Face' },
  { id: 'flop', words: 'Flop' },
];

interface PhotoFieldsProps {
  readonly job: Job;
  readonly photo: JobPhoto;
  readonly onPlaceCorners: () => void;
  readonly onRetake: (files: readonly File[]) => void;
}

/** In which light, from where, and beside which card the photo was taken. */
export function PhotoFields({ job, photo, onPlaceCorners, onRetake }: PhotoFieldsProps) {
  return (
    <section className="photos-fields" aria-label="This photo">
      <div className="photos-field-row">
        <Select
          label="Light"
          value={photo.light}
          choices={LIGHTS}
          onCommit={(light) => sayLight([photo.id], light as Light)}
        />
        <Select
          label="View"
          value={photo.view}
          choices={VIEWS}
          onCommit={(view) =>
            changePhoto('View of the photo', photo.id, (p) => {
              p.view = view as JobPhoto['view'];
            })
          }
        />
      </div>
      <Disclosure title="Card, name and more">
        <div className="photos-fields">
          <Select
            label="Card"
            value={photo.card ?? OWN}
            choices={knownCards(job)}
            onCommit={(path) => chooseCard(photo.id, path)}
          />
          <div className="photos-actions">
            <CardFileButton photo={photo.id} />
            <Button onPress={onPlaceCorners}>Place its corners by hand</Button>
            {photo.card_corners_px && (
              <Button
                onPress={() =>
                  changePhoto('Find the card by its markers', photo.id, (p) => {
                    delete p.card_corners_px;
                  })
                }
              >
                Find it by its markers again
              </Button>
            )}
          </div>
          <TextField
            label="Name of the photo"
            value={photoName(photo)}
            onCommit={(name) =>
              changePhoto('Rename photo', photo.id, (p) => {
                p.name = name.trim();
              })
            }
          />
          <TextField
            label="Notes"
            isLong
            maxLength={5000}
            value={photo.notes ?? ''}
            onCommit={(notes) =>
              changePhoto('Notes on the photo', photo.id, (p) => {
                p.notes = notes;
              })
            }
          />
          <div className="photos-actions">
            <RetakeButton onFiles={onRetake} />
            <RemovePhotoButton photo={photo.id} />
          </div>
        </div>
      </Disclosure>
    </section>
  );
}
