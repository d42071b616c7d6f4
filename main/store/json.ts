/** JSON texts of the database: one that was damaged must not end what reads it. */

/** What the text holds; undefined, which no JSON is, where it is none. */
export function parseJson(text: string): unknown {
  try {
    return JSON.parse(text) as unknown;
  } catch {
    return undefined;
  }
}
