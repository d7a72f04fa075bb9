/** Fits the correction of one photo to the card in it. */
import type { Curl } from '../card/types.ts';
import { type Lab, viewing, type WhiteName } from '../color/index.ts';
import type { Vec3 } from '../math/linear.ts';
import type { Reading } from '../photo/types.ts';
import { ANY_LIGHT, glowingIn, glowOf, type Waking, wakingUnder } from './brightener.ts';
import { leaveOneOut, type PatchError } from './check.ts';
import { doubtingLight } from './curled-card.ts';
import { type FittedPhoto, fittedPhoto, labAt, patchAsThing } from './estimate.ts';
import { fitCard } from './fit.ts';
import {
  expectedReading,
  type Fit,
  type FitPatch,
  printedReflectance,
  sensitivitiesOf,
} from './fit-model.ts';
import { fitUnderKinds } from './fit-under-kinds.ts';
import { fieldPoint } from './light-field.ts';
import { expectedUnder, type WeighedKinds, weighKinds } from './light-kinds.ts';
import { type LikelyLight, likelyLight } from './likely-light.ts';
import { type FitOf, withoutOutlying } from './outlying-patches.ts';
import { type PixelCandidate, type PixelSource, pixelCandidates } from './pixel-model.ts';
import { neverMeasured } from './print-error.ts';
import { printedPatches } from './printed-patches.ts';
import { type CorrectionPrior, SHIPPED_PRIOR } from './prior.ts';
import { labThrough, relativeReading, type ThingRead } from './read-through.ts';
import { fitResidualField, meanMisfit, type PatchMisfit, type ResidualField } from './residual-field.ts';
import { encodeSrgb, usableChannels } from './response.ts';
import { prepareMaps } from './seen-panels.ts';
import { type SheenBySheet, sheenTold, underSheen } from './sheen.ts';
import type { CardCheck, PatchReading } from './types.ts';

export interface CorrectionOptions {
  readonly white: WhiteName;
  /** Size of the main card; positions are in its plane. */
  readonly size_mm: readonly [number, number];
  readonly pixels: PixelSource;
  /** Ids of patches not to be used. */
  readonly leaveOut?: readonly string[];
  /** Ids of patches that were looked at and could not be read; only reported. */
  readonly spoiled?: readonly string[];
  readonly prior?: CorrectionPrior;
  /** How the card bends out of its plane. */
  readonly curl?: Curl | undefined;
}

/** The correction of one photo. */
export interface PhotoCorrection {
  readonly photo: FittedPhoto;
  /** The fit to the card alone, before kinds of light were weighed. */
  readonly cardFit: Fit;
  readonly candidate: PixelCandidate;
  readonly size_mm: readonly [number, number];
  readonly residualField: ResidualField;
  readonly check: CardCheck;
  /** The check of each usable patch, in the card's order. */
  readonly patchErrors: readonly PatchError[];
  /** Patches left out because they are not what the card is there: covered, stained, oversprayed. */
  readonly outlying: readonly string[];
  readonly light: LikelyLight;
  /** What the card's bare paper gave back of its instrument's ultraviolet, as reflectance in the blue; 0 for none. */
  readonly glow: number;
  /** How the card bends out of its plane; undefined where it lies flat. */
  readonly curl: Curl | undefined;
}

/**
 * Works out what a correction of a photo as cameras save it needs besides the photo: time well spent while one is still
 * being decoded.
 */
export function prepareCorrection(white: WhiteName): void {
  prepareMaps(SHIPPED_PRIOR.rendered, white);
  expectedUnder(SHIPPED_PRIOR.lights.rendered);
}

/** Fits a photo's correction to its card patches (those of strips included, positions in the main card's plane). */
export function correctPhoto(patches: readonly PatchReading[], options: CorrectionOptions): PhotoCorrection {
  const prior = options.prior ?? SHIPPED_PRIOR;
  const out = options.leaveOut ?? [];
  const fitOf: FitOf<FittedPatches> = (used, how) => fitPatches(used, options, prior, UNKNOWN_LOOK, how);
  const all = fitOf(patches.filter((p) => !out.includes(p.patch.id)));
  const missedBy = (fitted: FittedPatches, { patch }: PatchReading): number =>
    correctionOf(fitted, options, out, []).patchErrors.find((e) => e.id === patch.id)?.de00 ?? 0;
  const { fitted, outlying } = withoutOutlying(all, missedBy, fitOf);
  const left = outlying.map((p) => p.patch.id);
  const sheen = sheenTold(fitted.fit, fitted.growing);
  if (fitted.glow === 0 && sheen.size === 0) return correctionOf(fitted, options, out, left);
  const look = { waking: wakingUnder(kindsOf(fitted).kinds), sheen };
  return correctionOf(fitPatches(fitted.patches, options, prior, look), options, out, left);
}

/** How a photo's light makes the card look otherwise than its file says. */
interface Look {
  readonly waking: Waking;
  readonly sheen: SheenBySheet;
}

const UNKNOWN_LOOK: Look = { waking: ANY_LIGHT, sheen: new Map() };

interface FittedPatches {
  readonly patches: readonly PatchReading[];
  readonly fit: Fit;
  readonly candidate: PixelCandidate;
  /** See `PhotoCorrection`. */
  readonly glow: number;
  /** See `UnderSheen`. */
  readonly growing: readonly number[];
  /** ln of how likely the readings are, over all that the fit left open. */
  readonly evidence: number;
}

/** The fit of the way of reading pixels that explains the patches best. */
function fitPatches(
  patches: readonly PatchReading[],
  { white, size_mm, pixels }: CorrectionOptions,
  prior: CorrectionPrior,
  { waking, sheen }: Look,
  how?: { readonly isStrict: boolean },
): FittedPatches {
  const sheet = printedPatches(
    patches.map((p) => p.patch),
    white,
  );
  const glow = glowOf(sheet);
  const under = viewing(white);
  const { patches: print, growing } = underSheen(
    glow > 0 ? glowingIn(sheet, waking, under) : sheet,
    patches,
    size_mm,
    sheen,
    under,
  );
  let best: FittedPatches | undefined;
  for (const candidate of pixelCandidates(pixels)) {
    const fit = fitCard(
      patches.map((p, i) => ({ ...print[i], ...patchThing(p, candidate, size_mm) })),
      candidate.model,
      prior,
      how,
    );
    const evidence = patches.reduce((sum, p) => sum + candidate.logStretch(p.reading), fit.logEvidence);
    if (!best || evidence > best.evidence) best = { patches, fit, candidate, glow, growing, evidence };
  }
  return best!;
}

function kindsOf({ fit, candidate }: Pick<FittedPatches, 'fit' | 'candidate'>): WeighedKinds {
  return weighKinds(fit, fit.prior.lights[candidate.model.sensitivity]);
}

/** What a fit makes of the photo; `out` are the patches it was not to use, `outlying` those that turned out to be none. */
function correctionOf(
  { fit: cardFit, candidate, glow }: FittedPatches,
  options: CorrectionOptions,
  out: readonly string[],
  outlying: readonly string[],
): PhotoCorrection {
  const weighed = kindsOf({ fit: cardFit, candidate });
  const fit = fitUnderKinds(cardFit, weighed);
  const flat = fittedPhoto(fit, options.white);
  const photo = { ...flat, fit: doubtingLight(fit, options.curl) };
  const residualField = fitResidualField(patchMisfits(photo));
  const unread = fit.patches.filter((p) => !p.usable.some(Boolean)).map((p) => p.id);
  const leftOut = [...out, ...outlying, ...(options.spoiled ?? []), ...unread];
  const { check, patches: patchErrors } = leaveOneOut(flat, residualField, leftOut);
  return {
    photo,
    cardFit,
    candidate,
    size_mm: options.size_mm,
    residualField,
    check,
    patchErrors,
    outlying,
    light: likelyLight(weighed.kinds),
    glow,
    curl: options.curl,
  };
}

function encodedOf(linear: Vec3): Vec3 {
  return linear.map(encodeSrgb) as unknown as Vec3;
}

/** Relative error of a patch of one pixel; a patch of n pixels has 1/n of it: blur and coarse JPEG colour run over edges. */
const BLEED = 14;

function patchThing(
  { reading, at_mm }: PatchReading,
  candidate: PixelCandidate,
  size_mm: readonly [number, number],
): ThingRead & Pick<FitPatch, 'bleed'> {
  const thing = thingOf(reading, at_mm, candidate, size_mm);
  const bleed = BLEED / reading.pixels;
  return {
    ...thing,
    bleed,
    noise: thing.noise.map((n, c) => Math.hypot(n, bleed * thing.linear[c])) as unknown as Vec3,
  };
}

/** A reading at a place as the correction takes it. */
export function thingOf(
  reading: Reading,
  at_mm: readonly [number, number],
  candidate: PixelCandidate,
  size_mm: readonly [number, number],
): ThingRead {
  const linear = candidate.linearOf(reading);
  // a linear file holds true values down to its noise: only a full or an empty channel is lost
  const encoded = candidate.model.hasCurve
    ? encodedOf(linear)
    : (linear.map((l) => (l >= 0.985 ? 1 : l > 2e-4 ? 0.5 : 0)) as unknown as Vec3);
  return {
    linear,
    noise: candidate.noiseOf(reading),
    usable: usableChannels(encoded, reading.clippedHigh, reading.clippedLow),
    at: fieldPoint(at_mm, size_mm),
  };
}

/**
 * What the photo did to each patch that the fit does not explain: the colour of the reading the patch ought to
 * have given, less that of the reading it gave. Both go through the map, so that metamerism stays out of it.
 */
function patchMisfits(photo: FittedPhoto): PatchMisfit[] {
  const { fit, map, white } = photo;
  const under = viewing(white);
  const e = sensitivitiesOf(fit, fit.theta);
  return fit.patches
    .filter((p) => p.usable.every(Boolean))
    .map((p) => {
      const q = relativeReading(fit, fit.theta, patchAsThing(p));
      const read = labThrough(map.polynomial, q, under);
      const expected = labThrough(map.polynomial, expectedReading(e, printedReflectance(fit, p)), under);
      return {
        id: p.id,
        lab: read,
        misfit: [expected[0] - read[0], expected[1] - read[1], expected[2] - read[2]] as Lab,
        noise: Math.hypot(READING_NOISE, p.u, LAB_OF_BLEED * p.bleed),
        print: PRINT_LEFT * p.u * Math.sqrt(neverMeasured(p.u)),
      };
    });
}

/** Standard deviation per axis that a patch's misfit holds besides the photo's bend and the print's own doubt. */
const READING_NOISE = 0.7;

/** The same per relative error of light: about as much as one of lightness, (L* + 16) / 3, at L* 40. */
const LAB_OF_BLEED = 18;

/** Share of a printed card's doubt that the fit leaves in its misfits. */
const PRINT_LEFT = 1;

/** Colour of one reading by itself, without its uncertainty: for the cells of a panel. */
export function plainLab(
  correction: PhotoCorrection,
  reading: Reading,
  at_mm: readonly [number, number],
): Lab {
  const { photo, candidate, size_mm, residualField } = correction;
  const lab = labAt(photo, photo.fit.theta, thingOf(reading, at_mm, candidate, size_mm));
  const mean = meanMisfit(residualField, lab);
  return [lab[0] + mean[0], lab[1] + mean[1], lab[2] + mean[2]];
}
