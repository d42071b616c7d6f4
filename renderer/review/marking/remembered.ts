/** Settings of numbers that stay on this machine, under a name; what cannot be read is as at the first start. */
export function kept<T extends object>(name: string, first: T): T {
  try {
    const read: unknown = JSON.parse(localStorage.getItem(name) ?? 'null');
    if (typeof read !== 'object' || read === null) return first;
    const known = Object.entries(read).filter(
      ([key, value]) => Object.hasOwn(first, key) && Number.isFinite(value),
    );
    return { ...first, ...Object.fromEntries(known) };
  } catch {
    return first;
  }
}

export function keep(name: string, settings: object): void {
  localStorage.setItem(name, JSON.stringify(settings));
}
