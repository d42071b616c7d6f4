/** The field of the next row that can still be typed in; null where none is left. */
export function nextField(row: Element): HTMLInputElement | null {
  for (let next = row.nextElementSibling; next !== null; next = next.nextElementSibling) {
    const field = next.querySelector<HTMLInputElement>('input[inputmode="decimal"]');
    if (field !== null && !field.disabled) return field;
  }
  return null;
}
