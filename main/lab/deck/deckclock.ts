/** Instants as the clock on this computer's wall shows them, for what is printed and for names of folders. */

const two = (value: number) => String(value).padStart(2, '0');

/** Such as `2026-03-14 09:05:00`. */
export function localClock(instant: number | string): string {
  const at = new Date(instant);
  const date = `${at.getFullYear()}-${two(at.getMonth() + 1)}-${two(at.getDate())}`;
  return `${date} ${two(at.getHours())}:${two(at.getMinutes())}:${two(at.getSeconds())}`;
}

/** The clock's zone at an instant in words. */
export function zoneText(instant: number | string): string {
  const minutes = -new Date(instant).getTimezoneOffset();
  const size = Math.abs(minutes);
  return `local, UTC${minutes < 0 ? '−' : '+'}${two((size - (size % 60)) / 60)}:${two(size % 60)}`;
}
