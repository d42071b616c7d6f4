/** Today, as this machine's calendar has it. */

/** The date as ISO 8601. */
export function todayHere(now = new Date()): string {
  const two = (part: number) => String(part).padStart(2, '0');
  return `${now.getFullYear()}-${two(now.getMonth() + 1)}-${two(now.getDate())}`;
}
