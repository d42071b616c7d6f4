export interface Birth {
  readonly year: number;
  /** Whether the swimmer is under 18 on the day; null where the year alone is given, or the date reads two ways. */
  readonly isMinor: boolean | null;
}

/**
 * Whether a swimmer who consents alone may be a minor on the day; null where not, or where the birth is not known.
 * @param date the day's date, such as 2026-03-14
 */
export function minorProblem(
  birth: Birth | null,
  date: string,
): { readonly isSure: boolean; readonly says: string } | null {
  if (birth === null) return null;
  const needs =
    'assent and a guardian’s consent are needed: write “assent and guardian” once both are signed, “no” until then. Local law decides.';
  const age = Number(date.slice(0, 4)) - birth.year;
  if (age < 18 || birth.isMinor === true)
    return { isSure: true, says: `The swimmer is under 18 on ${date} and only “given” is noted; ${needs}` };
  if (age > 18 || birth.isMinor === false) return null;
  return {
    isSure: false,
    says: `The swimmer turns 18 in ${date.slice(0, 4)}; if they are still 17 on ${date}, ${needs} A whole date of birth, such as ${birth.year}-05-01, settles it.`,
  };
}
