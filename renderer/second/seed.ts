/** A short seed that can be read aloud. */
export function freshSeed(): string {
  const [word] = crypto.getRandomValues(new Uint32Array(1));
  return word!.toString(36).padStart(7, '0');
}
