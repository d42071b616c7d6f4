/** The zeros of a day, sensor by sensor, as a person compares them: in kPa from the sensor's first reading of the day. */
import type { ZeroReadingView } from '../../core/contract/bench.ts';
import type { Hand } from '../../core/base/hand.ts';
import { EMPTY, formatNumber, formatSigned } from '../format.ts';

export type ZeroMoment = 'before' | 'after';

/** One sensor's readings in the order of the trials. */
export interface ZeroSeries {
  readonly sensor: string;
  /** The hands that wore it, the first trial's first. */
  readonly hands: readonly [Hand, ...Hand[]];
  readonly readings: readonly ZeroReadingView[];
  /** raw/kPa, as the shifts were worked out with; null where no shift tells it. */
  readonly rawPerKpa: number | null;
  /** The first reading of the day, raw; null without any. */
  readonly firstRaw: number | null;
}

export function zeroSeries(readings: readonly ZeroReadingView[]): readonly ZeroSeries[] {
  return [...Map.groupBy(readings, ({ sensor }) => sensor)].map(([sensor, own]) => ({
    sensor,
    hands: [...new Set(own.map(({ hand }) => hand))] as [Hand, ...Hand[]],
    readings: own,
    rawPerKpa: rawPerKpaOf(own),
    firstRaw: own.flatMap(({ before, after }) => [before, after]).find((raw) => raw !== null) ?? null,
  }));
}

/** The largest shift tells the sensitivity with the least loss of digits. */
function rawPerKpaOf(readings: readonly ZeroReadingView[]): number | null {
  const known = readings.filter(
    ({ before, after, shiftKpa }) => before !== null && after !== null && shiftKpa !== null && shiftKpa !== 0,
  );
  const largest = known.toSorted((a, b) => Math.abs(b.shiftKpa!) - Math.abs(a.shiftKpa!))[0];
  return largest === undefined ? null : (largest.after! - largest.before!) / largest.shiftKpa!;
}

/** A reading in kPa from the sensor's first of the day; null where that cannot be said. */
export function fromFirstKpa(series: ZeroSeries, raw: number | null): number | null {
  if (raw === null || series.firstRaw === null || series.rawPerKpa === null) return null;
  return (raw - series.firstRaw) / series.rawPerKpa;
}

/** Whether a zero held, in words. */
export function shiftWords(reading: ZeroReadingView, limitKpa: number | null): string {
  const { before, after, shiftKpa, beyond } = reading;
  if (before === null && after === null) return 'Not read; the calibration’s zero stands in';
  if (before === null) return 'Not read before the trial';
  if (after === null) return 'Not read after the trial';
  if (shiftKpa === null) return 'No calibration, so no shift in kPa';
  if (beyond === null || limitKpa === null) return 'The protocol sets no limit';
  return beyond ? `Beyond the limit of ${limitKpa} kPa` : 'Within the limit';
}

/** A zero reading, raw. */
export function rawText(raw: number | null): string {
  return raw === null ? EMPTY : formatNumber(raw, 1);
}

export function shiftText(shiftKpa: number | null): string {
  return shiftKpa === null ? EMPTY : formatSigned(shiftKpa, 3);
}

/** The plot of a sensor in words. */
export function seriesSentence(series: ZeroSeries, limitKpa: number | null): string {
  const { readings } = series;
  const whole = readings.filter(({ shiftKpa }) => shiftKpa !== null);
  const most = whole.toSorted((a, b) => Math.abs(b.shiftKpa!) - Math.abs(a.shiftKpa!))[0];
  const beyond = readings.filter((reading) => reading.beyond === true).map(({ trial }) => trial);
  const unread = readings.filter(({ before, after }) => before === null || after === null);
  const parts = [
    most === undefined
      ? 'No trial has a zero shift.'
      : `The largest shift is ${shiftText(most.shiftKpa)} kPa, in trial ${most.trial}.`,
  ];
  if (limitKpa !== null && most !== undefined)
    parts.push(
      beyond.length === 0
        ? `Every shift is within ${limitKpa} kPa.`
        : `Beyond ${limitKpa} kPa: ${beyond.join(', ')}.`,
    );
  if (unread.length > 0)
    parts.push(`Not read both before and after: ${unread.map(({ trial }) => trial).join(', ')}.`);
  return parts.join(' ');
}
