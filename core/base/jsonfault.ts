/** Why a text is no JSON, in words of ours: what the engine says of it is written for programmers. */

/** Where the text can no longer be read, as the end of a sentence. @param error what JSON.parse threw */
export function jsonFaultSays(error: unknown): string {
  const message = error instanceof Error ? error.message : '';
  if (message.includes('end of JSON input')) return 'it ends before it is complete';
  const place = /\(line (\d+) column (\d+)\)/.exec(message);
  if (place !== null) return `it cannot be read from line ${place[1]!}, column ${place[2]!} on`;
  const near = /^Unexpected token .*?, (.*) is not valid JSON$/s.exec(message);
  return near === null ? 'it cannot be read' : `it cannot be read at ${near[1]!}`;
}
