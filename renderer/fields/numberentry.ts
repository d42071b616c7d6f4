/** Numbers as people type them: with a point or a comma before the decimals, spaces around them. */

/** What a field holds; null where it is empty or no number. */
export function typedNumber(text: string): number | null {
  const plain = text.trim().replace('\u2212', '-').replace(',', '.');
  return /^[+-]?(\d+\.?\d*|\.\d+)$/.test(plain) ? Number(plain) : null;
}

/** As `typedNumber`, for what must be above zero. */
export function typedAboveZero(text: string): number | null {
  const value = typedNumber(text);
  return value !== null && value > 0 ? value : null;
}

/** What is wrong with a field; null where nothing is, or where it is still empty. */
export function entryFault(text: string, least: 'any' | 'not_negative' | 'positive'): string | null {
  if (text.trim() === '') return null;
  const value = typedNumber(text);
  if (value === null) return `“${text.trim()}” is no number; type digits such as 12.5.`;
  if (least === 'positive' && value <= 0) return 'It must be above 0.';
  return least === 'not_negative' && value < 0 ? 'It cannot be below 0.' : null;
}
