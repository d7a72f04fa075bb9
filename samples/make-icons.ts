/** Makes the app's icons from their drawing: `npx tsx samples/make-icons.ts`. */
import { readFile } from 'node:fs/promises';
import sharp from 'sharp';

const folder = new URL('../src/app/public/', import.meta.url);
const drawing = await readFile(new URL('icon.svg', folder));
for (const size of [180, 192, 512])
  await sharp(drawing, { density: 144 })
    .resize(size, size)
    .png({ compressionLevel: 9, palette: true })
    .toFile(new URL(`icon-${size}.png`, folder).pathname);
