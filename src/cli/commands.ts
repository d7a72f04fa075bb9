import type { Command } from './command.ts';

/** A line of the table: what `sprayout --help` says, and where the command is loaded from when it is called. */
export interface CommandEntry {
  readonly arguments: string;
  readonly summary: string;
  readonly load: () => Promise<{ readonly command: unknown }>;
}

/** Every command of `sprayout`. A new one is one file in `commands/` and one line here. */
export const COMMANDS: Readonly<Record<string, CommandEntry>> = {
  measure: {
    arguments: 'PHOTO…',
    summary: 'measure the panels in photos taken beside the card',
    load: () => import('./commands/measure.ts'),
  },
  compare: {
    arguments: 'JOB',
    summary: "the job's panels against each other and the target",
    load: () => import('./commands/compare.ts'),
  },
  predict: {
    arguments: 'JOB --mix …',
    summary: 'what a panel not sprayed yet would look like',
    load: () => import('./commands/predict.ts'),
  },
  advise: {
    arguments: 'JOB',
    summary: 'what to spray next, and what to pour into the pot',
    load: () => import('./commands/advise.ts'),
  },
  lights: {
    arguments: 'JOB',
    summary: 'the same panels under different lights, face and flop',
    load: () => import('./commands/lights.ts'),
  },
  mix: {
    arguments: '[JOB] --mix …',
    summary: 'the mixing sheet: parts to millilitres',
    load: () => import('./commands/mix.ts'),
  },
  bundle: {
    arguments: 'JOB --out FILE.zip',
    summary: 'a job with its photos in one file, to hand on or to open',
    load: () => import('./commands/bundle.ts'),
  },
  board: {
    arguments: 'JOB --out FILE',
    summary: 'a sample board to print, send or post',
    load: () => import('./commands/board.ts'),
  },
  readings: {
    arguments: 'JOB --out FILE',
    summary: 'the measured colours as CGATS, CSV, CxF3 or JSON',
    load: () => import('./commands/readings.ts'),
  },
  card: {
    arguments: '--out FILE.pdf',
    summary: 'draw the card to print, or make a card file from readings',
    load: () => import('./commands/card.ts'),
  },
  app: {
    arguments: '[--port N]',
    summary: 'open the app in the browser, on this machine',
    load: () => import('./commands/app.ts'),
  },
  demo: {
    arguments: '[--out DIR]',
    summary: 'the whole way on the sample photos',
    load: () => import('./commands/demo.ts'),
  },
};

/** Loads a command of the table. */
export async function loadCommand(entry: CommandEntry): Promise<Command> {
  return (await entry.load()).command as Command;
}
