/** The card of a scene: what each patch truly is, and the definition that the measuring side is handed. */
import type { CardDefinition } from '../../shared/schemas/card.ts';
import { instrumentUltraviolet, withGlow } from './brightener.ts';
import { bendTo, driftStock, makeStock, printer, separate } from './print.ts';
import { randomOf, type SceneRandom } from './random.ts';
import {
  de00,
  gaussian,
  labD50,
  type Spectrum71,
  smoothNoise,
  spectrumOf,
  type Triple,
  valueAt,
} from './spectral.ts';

export interface SceneCard {
  /** What the measuring side is handed. */
  readonly definition: CardDefinition;
  /** True spectrum per patch of the definition, in order. */
  readonly spectra: readonly Spectrum71[];
  /** True spectra of the bare paper and of the black that tags and marks are printed in. */
  readonly paper: Spectrum71;
  readonly black: Spectrum71;
  /** Root-mean-square ΔE2000 between the handed Lab and the true one. */
  readonly off_de00: number;
}

export interface CardOptions {
  readonly tier: 'measured' | 'nominal';
  /** Root-mean-square ΔE2000 that a nominal card's print is off; random around 2 when left out. */
  readonly off_de00?: number;
  /** Prints are off as presses are, all patches together (left out), or each patch by itself. */
  readonly misprint?: 'together' | 'by patch';
  /** What a measured card's instrument told: spectra (left out), or Lab alone. */
  readonly instrument?: 'spectra' | 'lab';
  /** What the paper's brightener gives back under D50's ultraviolet, and the light's ultraviolet beside that; none when left out. */
  readonly brightener?: { readonly amount: number; readonly ultraviolet: number };
}

/** Prints the definitions (the card, and strips from the same sheet) once, and hands out definitions of the wanted tier. */
export function printCards(
  definitions: readonly CardDefinition[],
  seed: number,
  options: CardOptions,
): SceneCard[] {
  const random = randomOf(seed, 'print');
  const stock = makeStock(random);
  const blackShare = random.between(0.25, 0.95);
  const wanted = definitions.map((d) => d.patches.map(nominalLab));
  const off = options.tier === 'nominal' ? (options.off_de00 ?? 2 * Math.exp(random.normal(0, 0.2))) : 1.2;
  const plain = printer(stock);
  const seen = new Map<string, { coverage: ReturnType<typeof separate>['coverage']; bend: Float64Array }>();
  const plan = wanted.flat().map((lab) => {
    const key = lab.map((v) => v.toFixed(3)).join();
    const known = seen.get(key);
    if (known) return known;
    const { coverage, spectrum } = separate(plain, lab, blackShare);
    const made = { coverage, bend: bendTo(spectrum, lab) };
    seen.set(key, made);
    return made;
  });
  const all = wanted.flat();
  const uneven = randomOf(seed, 'print patch');
  const flaws = plan.map(({ coverage, bend }) => {
    // bare paper hardly varies over a sheet, inked patches do
    const ink = Math.min(1, coverage[0] + coverage[1] + coverage[2] + coverage[3]);
    const size = Math.min(1, off / 2) * (0.15 + 0.85 * ink);
    const tint = smoothNoise(() => uneven.normal(0, 1), 0.011 * size, 90);
    const level = uneven.normal(0, 0.008 * size);
    return tint.map((t, i) => Math.exp(bend[i] + t + level));
  });
  const print = (scale: number): Spectrum71[] => {
    if (options.misprint === 'by patch')
      return offByPatch(plan, plain, scale, randomOf(seed, 'print patch by patch'));
    const drifted = printer(driftStock(stock, scale, randomOf(seed, 'print drift')));
    return plan.map(({ coverage }, p) => drifted(coverage).map((v, i) => v * flaws[p][i]));
  };
  let scale = 1;
  let truth = print(scale);
  for (let pass = 0; pass < 4; pass++) {
    const now = rms(truth, all);
    if (Math.abs(now / off - 1) < 0.02) break;
    scale *= off / now;
    truth = print(scale);
  }
  const dayOfPrint = printer(driftStock(stock, scale, randomOf(seed, 'print drift')));
  // white patches are bare paper: what is known of them holds for the sheet
  const whitest = all.reduce((best, lab, i) => (lab[0] > all[best][0] ? i : best), 0);
  const paper = all[whitest][0] > 85 ? truth[whitest] : dayOfPrint([0, 0, 0, 0]);
  const black = dayOfPrint([0.5, 0.4, 0.45, 1]);
  const noise = randomOf(seed, 'instrument');
  const u = noise.between(0.3, 0.5);
  const under = (ultraviolet: number) => (spectrum: Spectrum71) =>
    options.brightener ? withGlow(spectrum, paper, options.brightener.amount * ultraviolet) : spectrum;
  const inPhoto = under(options.brightener?.ultraviolet ?? 0);
  const forInstrument = under(instrumentUltraviolet(randomOf(seed, 'instrument lamp')));
  let next = 0;
  return definitions.map((definition) => {
    const plainSpectra = truth.slice(next, next + definition.patches.length);
    const spectra = plainSpectra.map(inPhoto);
    next += definition.patches.length;
    const handed =
      options.tier === 'nominal'
        ? asNominal(definition)
        : measuredWith(definition, plainSpectra.map(forInstrument), u, noise, options.instrument);
    return {
      definition: handed,
      spectra,
      paper: inPhoto(paper),
      black,
      off_de00: rms(spectra, handed.patches.map(nominalLab)),
    };
  });
}

/** The wanted colours, each patch with an error of its own in short, middle and long waves; replicates err apart, too. */
function offByPatch(
  plan: readonly {
    readonly coverage: ReturnType<typeof separate>['coverage'];
    readonly bend: Float64Array;
  }[],
  plain: ReturnType<typeof printer>,
  scale: number,
  random: SceneRandom,
): Spectrum71[] {
  return plan.map(({ coverage, bend }) => {
    const wanted = plain(coverage);
    const errors = [450, 540, 620].map((nm) => [nm, random.normal(0, 0.03 * scale)] as const);
    return spectrumOf(
      (nm, i) =>
        wanted[i] *
        Math.exp(errors.reduce((sum, [peak, size]) => sum + size * gaussian(nm, peak, 35), bend[i])),
    );
  });
}

function rms(spectra: readonly Spectrum71[], labs: readonly Triple[]): number {
  return Math.sqrt(spectra.reduce((sum, s, i) => sum + de00(labD50(s), labs[i]) ** 2, 0) / spectra.length);
}

/** The Lab a definition states for a patch: its own, else that of its spectrum. */
export function nominalLab(patch: CardDefinition['patches'][number]): Triple {
  if (patch.lab) return patch.lab;
  const s = patch.spectrum!;
  return labD50(
    spectrumOf((nm) => {
      const x = Math.min(s.values.length - 1, Math.max(0, (nm - s.start_nm) / s.step_nm));
      const i = Math.min(s.values.length - 2, Math.floor(x));
      return s.values[i] + (x - i) * (s.values[i + 1] - s.values[i]);
    }),
  );
}

/** The definition as its maker believes it: about 2 ΔE2000 of doubt a patch where it came with a smaller one. */
function asNominal(definition: CardDefinition): CardDefinition {
  if (definition.source === 'nominal') return definition;
  return {
    ...definition,
    source: 'nominal',
    patches: definition.patches.map((p) => ({ ...p, u: Math.max(2, p.u) })),
  };
}

/** The definition with an instrument's readings in it: spectra in 10 nm steps and Lab, noise of u ΔE2000 rms in all. */
function measuredWith(
  definition: CardDefinition,
  spectra: readonly Spectrum71[],
  u: number,
  random: SceneRandom,
  instrument: CardOptions['instrument'],
): CardDefinition {
  const n = (): number => random.normal(0, 1);
  const tile = smoothNoise(n, 0.0025, 150);
  const raw = spectra.map((s) => {
    const wobble = smoothNoise(n, 0.005, 70);
    const level = 0.004 * n();
    const dark = smoothNoise(n, 0.0005, 100);
    return s.map((v, i) => v * (tile[i] + wobble[i] + level) + dark[i]);
  });
  const readAt = (scale: number): Spectrum71[] =>
    spectra.map((s, p) => s.map((v, i) => v + scale * raw[p][i]));
  const truth = spectra.map(labD50);
  const scale = u / Math.max(1e-6, rms(readAt(1), truth));
  const read = readAt(scale);
  const patches = definition.patches.map((patch, p) => {
    const values = Array.from({ length: 36 }, (_, i) => round(valueAt(read[p], 380 + 10 * i), 5));
    const lab = labD50(read[p]).map((v) => round(v, 3)) as unknown as [number, number, number];
    const { spectrum: _nominal, ...rest } = patch;
    const told = instrument === 'lab' ? { lab } : { lab, spectrum: { start_nm: 380, step_nm: 10, values } };
    return { ...rest, ...told, u: round(u, 2) };
  });
  return { ...definition, source: 'measured', patches };
}

function round(v: number, digits: number): number {
  return Math.round(v * 10 ** digits) / 10 ** digits;
}
