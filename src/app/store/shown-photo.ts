/** Photos as files that the browser shows: of HEIC and DNG the worker makes a JPEG copy, once. */
import { sniffImage } from '../../core/photo/sniff.ts';
import { bench, callback } from '../worker/client.ts';
import { documentStore, openPhoto } from './document.ts';
import { photoSource } from './studying.ts';

/** Bytes from which a file's kind is told. */
const HEAD_BYTES = 65_536;
/** Copies kept, of a few MB each. */
const MOST_COPIES = 12;

const copies = new Map<string, Promise<Blob | undefined>>();

/** Undefined when the photo is not on this device, or cannot be shown. */
export async function openShownPhoto(photoId: string): Promise<Blob | undefined> {
  const { id, job } = documentStore.getState();
  const blob = await openPhoto(photoId);
  const photo = job?.photos.find((p) => p.id === photoId);
  if (!id || !photo || !blob) return blob;
  const { type } = sniffImage(new Uint8Array(await blob.slice(0, HEAD_BYTES).arrayBuffer()));
  if (type !== 'heic' && type !== 'dng') return blob;
  const key = `${id}/${photoId}`;
  const copy =
    copies.get(key) ??
    bench()
      .picture(id, photo, callback(photoSource))
      .then(
        (part) => (part.ok ? part.value : undefined),
        () => undefined,
      );
  copies.delete(key); // the map's order is the order of use
  copies.set(key, copy);
  const [oldest] = copies.keys();
  if (copies.size > MOST_COPIES && oldest !== undefined) copies.delete(oldest);
  copy.then((made) => {
    // what failed may work the next time
    if (!made) copies.delete(key);
  });
  return copy;
}
