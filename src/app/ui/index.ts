/** The shared parts of the screens. */
export { Button, type ButtonProps, IconButton } from './Button.tsx';
export { Dialog } from './Dialog.tsx';
export { Disclosure } from './Disclosure.tsx';
export { EmptyState } from './EmptyState.tsx';
export { Figure } from './Figure.tsx';
export { Checkbox, NumberField, Select, TextField } from './fields.tsx';
export * from './format.ts';
export { IntervalBar } from './IntervalBar.tsx';
export * from './icons.tsx';
export * from './light-words.ts';
export { Menu } from './Menu.tsx';
export { Notice } from './Notice.tsx';
export { Progress } from './Progress.tsx';
export { Screen } from './Screen.tsx';
export { SplitSwatch } from './SplitSwatch.tsx';
export { Swatch } from './Swatch.tsx';
export { screenPaint } from './screen-paint.ts';
export { Tabs } from './Tabs.tsx';
