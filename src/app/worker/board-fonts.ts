/** Addresses of the typeface's files, in the order they are asked for a character. */
import cyrillic400 from '@fontsource/inter/files/inter-cyrillic-400-normal.woff?url';
import cyrillic600 from '@fontsource/inter/files/inter-cyrillic-600-normal.woff?url';
import greek400 from '@fontsource/inter/files/inter-greek-400-normal.woff?url';
import greek600 from '@fontsource/inter/files/inter-greek-600-normal.woff?url';
import latin400 from '@fontsource/inter/files/inter-latin-400-normal.woff?url';
import latin600 from '@fontsource/inter/files/inter-latin-600-normal.woff?url';
import latinExt400 from '@fontsource/inter/files/inter-latin-ext-400-normal.woff?url';
import latinExt600 from '@fontsource/inter/files/inter-latin-ext-600-normal.woff?url';

export const FONT_ADDRESSES = {
  regular: [latin400, latinExt400, greek400, cyrillic400],
  bold: [latin600, latinExt600, greek600, cyrillic600],
} as const;
