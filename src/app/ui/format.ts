/** Numbers, amounts and dates as the reader's locale writes them. */
import { useSession, type VolumeUnit } from '../store/session.ts';

const numbers = new Map<number, Intl.NumberFormat>();

/** A number with a fixed count of decimals, with a true minus sign. */
export function formatNumber(value: number, digits = 1): string {
  let format = numbers.get(digits);
  if (!format) {
    format = new Intl.NumberFormat(undefined, {
      minimumFractionDigits: digits,
      maximumFractionDigits: digits,
    });
    numbers.set(digits, format);
  }
  return format.format(value).replace('-', '−');
}

const percent = new Intl.NumberFormat(undefined, { style: 'percent', maximumFractionDigits: 0 });
export const formatPercent = (share: number): string => percent.format(share);

const day = new Intl.DateTimeFormat(undefined, { dateStyle: 'medium' });
const moment = new Intl.DateTimeFormat(undefined, { dateStyle: 'medium', timeStyle: 'short' });
export const formatDay = (ms: number): string => day.format(ms);
export const formatMoment = (ms: number): string => moment.format(ms);

/** `between 1.2 and 3.4` */
export const formatInterval = ([low, high]: readonly [number, number], digits = 1): string =>
  `between ${formatNumber(low, digits)} and ${formatNumber(high, digits)}`;

/** US fluid ounce. */
const ML_PER_OZ = 29.5735295625;

export const unitFromMl = (ml: number, unit: VolumeUnit): number => (unit === 'oz' ? ml / ML_PER_OZ : ml);
export const mlFromUnit = (amount: number, unit: VolumeUnit): number =>
  unit === 'oz' ? amount * ML_PER_OZ : amount;

export function formatVolume(ml: number, unit: VolumeUnit): string {
  return unit === 'oz'
    ? `${formatNumber(unitFromMl(ml, unit), 2)} oz`
    : `${formatNumber(ml, ml < 100 ? 1 : 0)} ml`;
}

/** The chosen unit, and how to write and read amounts in it. */
export function useVolume(): {
  readonly unit: VolumeUnit;
  readonly write: (ml: number) => string;
  readonly toUnit: (ml: number) => number;
  readonly toMl: (amount: number) => number;
} {
  const unit = useSession((s) => s.volumeUnit);
  return {
    unit,
    write: (ml) => formatVolume(ml, unit),
    toUnit: (ml) => unitFromMl(ml, unit),
    toMl: (amount) => mlFromUnit(amount, unit),
  };
}

const units = ['B', 'kB', 'MB', 'GB', 'TB'] as const;
/** `3.4 MB` */
export function formatBytes(bytes: number): string {
  const step = bytes < 1 ? 0 : Math.min(units.length - 1, Math.floor(Math.log10(bytes) / 3));
  const value = bytes / 1000 ** step;
  return `${formatNumber(value, step === 0 || value >= 100 ? 0 : 1)} ${units[step]}`;
}
