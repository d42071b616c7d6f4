/** Address of a kept version of a protocol as JSON, or of the schema it follows. */
export function protocolPath(protocol: string, version: number): string {
  return `/protocol/${protocol}/${version}.json`;
}

export const PROTOCOL_SCHEMA_PATH = '/protocol-schema.json';

/** Address of the day's log, or of the deck sheets to print. */
export function dayPagePath(day: number, page: 'log' | 'sheets', kind: 'html' | 'pdf'): string {
  return `/page/${day}/${page}.${kind}`;
}

/** Path (below the host's root) of a hand's force samples: little-endian float64, N. */
export function samplesPath(day: number, trial: string, hand: 'left' | 'right'): string {
  return `/samples/${day}/${trial}/${hand}`;
}

/** Path (below the host's root) of a camera's film. */
export function filmPath(day: number, trial: string, camera: string): string {
  return `/film/${day}/${trial}/${camera}`;
}

/** Path (below the host's root) of a hand's raw samples on the trace's grid: little-endian float64. */
export function rawPath(day: number, trial: string, which: 'left' | 'right'): string {
  return `/raw/${day}/${trial}/${which}`;
}

/** Path (below the host's root) of a recording's column: little-endian float64, raw. `column` counts from 0. */
export function recordingPath(sha256: string, column: number): string {
  return `/recording/${sha256}/${column}`;
}

/** Path of a calibration's certificate. */
export function certificatePath(id: number, kind: 'html' | 'pdf'): string {
  return `/certificate/${id}.${kind}`;
}
