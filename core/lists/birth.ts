/** A year or date of birth as a list has it: only the year is kept, and whether the swimmer is a minor on the day. */
import type { MatchedCell } from './columns.ts';
import type { Say } from './cells.ts';
import type { Birth } from '../deck/minor.ts';
import { isMissing } from '../base/table.ts';

/**
 * Reads a birth year, or a date of birth: 2008-05-01, 1.5.2008 (day first), 1/5/2008 (either way).
 * @param date the day's date, such as 2026-03-14
 */
export function readBirth(cell: MatchedCell | null, date: string, say: Say): Birth | null {
  if (cell === null || isMissing(cell.text)) return null;
  const { column, text } = cell;
  const [year, ...births] = datesOf(text);
  if (year === undefined) {
    say(
      `“${column}” is “${text}”; it takes a year such as 2008 or a date such as 2008-05-01, the year with four digits.`,
    );
    return null;
  }
  if (year < 1900 || year > Number(date.slice(0, 4))) {
    say(
      `“${column}” gives the year ${year}; it lies between 1900 and the year of the testing day: correct it.`,
    );
    return null;
  }
  const eighteenth = births.map(([month, day]) => dateText(year + 18, month, day));
  const minors = new Set(eighteenth.map((birthday) => date < birthday));
  return { year, isMinor: minors.size === 1 ? [...minors][0]! : null };
}

type MonthDay = readonly [number, number];

/** The year, and each month and day that the text may mean. */
function datesOf(text: string): readonly [number, ...MonthDay[]] | readonly [] {
  if (/^\d{4}$/.test(text)) return [Number(text)];
  const iso = /^(\d{4})[-/.](\d{1,2})(?:[-/.](\d{1,2}))?(?:[T ].*)?$/.exec(text);
  if (iso !== null) {
    const [year, month, day] = [Number(iso[1]), Number(iso[2]), Number(iso[3] ?? 1)];
    if (!isDay(year, month, day)) return [];
    return iso[3] === undefined ? [year] : [year, [month, day]];
  }
  const late = /^(\d{1,2})([-/.])\s?(\d{1,2})\2\s?(\d{4})$/.exec(text);
  if (late === null) {
    const month = /^(\d{1,2})[-/.](\d{4})$/.exec(text);
    return month !== null && isDay(Number(month[2]), Number(month[1]), 1) ? [Number(month[2])] : [];
  }
  const [first, second, year] = [Number(late[1]), Number(late[3]), Number(late[4])];
  const dayFirst: MonthDay = [second, first];
  const ways: readonly MonthDay[] = late[2] === '.' ? [dayFirst] : [dayFirst, [first, second]];
  const possible = ways.filter(([month, day]) => isDay(year, month, day));
  return possible.length === 0 ? [] : [year, ...possible];
}

function isDay(year: number, month: number, day: number): boolean {
  const leap = (year % 4 === 0 && year % 100 !== 0) || year % 400 === 0;
  const days = [31, leap ? 29 : 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31];
  return day >= 1 && day <= (days[month - 1] ?? 0);
}

/** A date that sorts as text; 29 February of a common year sorts as 1 March does, after 28 February. */
function dateText(year: number, month: number, day: number): string {
  return `${year}-${String(month).padStart(2, '0')}-${String(day).padStart(2, '0')}`;
}
