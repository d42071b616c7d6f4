/**
 * Numbers as a person reads them. A space stands between a number and its unit, the decimal marker is a point with a
 * digit before it, digits are not grouped (SI brochure 5.4.3, 5.4.4); a standard uncertainty has two significant
 * digits and the value stops at the same place (JCGM 100, 7.2.6). What is not there is a dash, never 0.
 */
import * as words from '../core/base/words.ts';
import type { Measured } from '../core/base/uncertainty.ts';

export type Unit =
  | 'm/s'
  | 'cycles/min'
  | 'm'
  | 's'
  | 'ms'
  | '%'
  | 'N'
  | 'N·s'
  | 'kPa'
  | 'cm²'
  | 'Hz'
  | '°C'
  | 'raw'
  | 'raw/kPa';

/** Stands where there is no value; its reason belongs beside it. */
export const EMPTY = '—';
const MINUS = '\u2212';
const SPACE = '\u00a0';

/** Decimals of a value whose uncertainty is not known, by unit. */
const DECIMALS: Readonly<Record<Unit, number>> = {
  'm/s': 2,
  'cycles/min': 1,
  m: 2,
  s: 2,
  ms: 0,
  '%': 1,
  N: 1,
  'N·s': 1,
  kPa: 2,
  'cm²': 0,
  Hz: 1,
  '°C': 1,
  raw: 1,
  'raw/kPa': 2,
};

/** A number with a fixed count of decimals; below 0 it rounds before the decimal point (−1: tens). */
export function formatNumber(value: number, decimals: number): string {
  const step = 10 ** -decimals;
  const text = decimals >= 0 ? value.toFixed(decimals) : (Math.round(value / step) * step).toFixed(0);
  const isZero = Number(text) === 0;
  return value < 0 && !isZero ? text.replace('-', MINUS) : text.replace('-', '');
}

/** As `formatNumber`, with a + before what is above zero: for shifts and differences. */
export function formatSigned(value: number, decimals: number): string {
  const text = formatNumber(value, decimals);
  return value > 0 && Number(text) !== 0 ? `+${text}` : text;
}

/** Decimals that leave two significant digits of an uncertainty above zero. */
function decimalsFor(u: number): number {
  const exponent = Number(u.toExponential(1).split('e')[1]);
  return Math.min(1 - exponent, 20);
}

/** A value and its unit, such as `12.4 N`; a dash where there is none. */
export function formatValue(value: number | null, unit: Unit, decimals = DECIMALS[unit]): string {
  return value === null ? EMPTY : `${formatNumber(value, decimals)}${SPACE}${unit}`;
}

/** A value's parts as text; `u` is null where it is not known. */
interface MeasuredText {
  readonly value: string;
  readonly u: string | null;
  readonly unit: Unit;
}

/** A value and its standard uncertainty, both in `unit`, as text; null where there is no value. */
export function measuredText(measured: Measured | null, unit: Unit): MeasuredText | null {
  if (measured === null) return null;
  const { value, u } = measured;
  if (u === null || !(u > 0)) return { value: formatNumber(value, DECIMALS[unit]), u: null, unit };
  const decimals = decimalsFor(u);
  return { value: formatNumber(value, decimals), u: formatNumber(u, decimals), unit };
}

/** A value with its standard uncertainty and unit, such as `1.820 ± 0.031 m/s`; a dash where there is none. */
export function formatMeasured(measured: Measured | null, unit: Unit): string {
  const text = measuredText(measured, unit);
  if (text === null) return EMPTY;
  if (text.u === null) return `${text.value}${SPACE}${unit}`;
  const pair = `${text.value}${SPACE}±${SPACE}${text.u}`;
  // A percentage's sign belongs to both, as does °C; SI brochure 5.4.5 brackets the pair or repeats the unit.
  return unit === '%' || unit === '°C' ? `(${pair})${SPACE}${unit}` : `${pair}${SPACE}${unit}`;
}

/** A reading as it stands in a trace, in the unit that is stated for it, with its standard uncertainty. */
export function formatReading(reading: Measured | null, unit: string | null): string {
  const text = measuredText(reading, 'raw');
  if (text === null) return EMPTY;
  const pair = text.u === null ? text.value : `${text.value}${SPACE}±${SPACE}${text.u}`;
  return `${pair}${SPACE}${unit ?? 'raw'}`;
}

/** A time in seconds with its uncertainty, in milliseconds. */
export function toMs(measured: Measured | null): Measured | null {
  if (measured === null) return null;
  return { value: 1000 * measured.value, u: measured.u === null ? null : 1000 * measured.u };
}

const MONTHS = [
  'Jan',
  'Feb',
  'Mar',
  'Apr',
  'May',
  'June',
  'July',
  'Aug',
  'Sept',
  'Oct',
  'Nov',
  'Dec',
] as const;
const DATE = /^(\d{4})-(\d{2})-(\d{2})$/;

/** A calendar day such as `12 May 2025` from ISO 8601; text of another form is shown as it stands. */
export function formatDate(iso: string): string {
  const [, year, month, day] = DATE.exec(iso) ?? [];
  const name = MONTHS[Number(month) - 1];
  return name === undefined ? iso : `${Number(day)} ${name} ${year}`;
}

/** An instant on this machine's clock, such as `12 May 2025, 09:05`, from ISO 8601. */
export function formatInstant(iso: string): string {
  const at = new Date(iso);
  if (Number.isNaN(at.getTime())) return iso;
  const two = (part: number) => String(part).padStart(2, '0');
  const date = `${at.getDate()} ${MONTHS[at.getMonth()]} ${at.getFullYear()}`;
  return `${date}, ${two(at.getHours())}:${two(at.getMinutes())}`;
}

/** A count with its noun: `1 trial`, `3 trials`. */
export function counted(count: number, one: string, many?: string): string {
  return words.counted(count, one, many).replace(' ', SPACE);
}

/** A size such as `5.12 kB`. */
export function bytesText(bytes: number): string {
  return words.bytesText(bytes).replace(' ', SPACE);
}
