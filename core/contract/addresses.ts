/** What a screen may fetch by GET: one table of addresses (paths below the host's root), which builds and reads them. */
import { isCode } from '../base/table.ts';

/**
 * Samples are little-endian float64 of one hand on the trace's grid: force in N, raw in the sensor's own unit; a
 * recording's column likewise, columns counted from 0. `trialFile` is a trial for other programs: MATLAB level 5 or EDF+. `page` is the day's log or its deck sheets to print.
 */
const ADDRESSES = {
  samples: '/samples/{day}/{trial}/{hand}',
  raw: '/raw/{day}/{trial}/{hand}',
  film: '/film/{day}/{trial}/{camera}',
  trialFile: '/trial-file/{day}/{trial}.{format}',
  recording: '/recording/{sha256}/{column}',
  certificate: '/certificate/{calibration}.{kind}',
  page: '/page/{day}/{page}.{kind}',
  protocol: '/protocol/{protocol}/{version}.json',
  protocolSchema: '/protocol-schema.json',
} as const;

interface Part<T> {
  /** A regular expression without groups that the whole part fits. */
  readonly looks: string;
  /** Null where it looks right and is none. */
  readonly read: (text: string) => T | null;
}

function whole(digits: number): Part<number> {
  return { looks: `\\d{1,${digits}}`, read: Number };
}

function oneOf<T extends string>(...values: readonly T[]): Part<T> {
  return { looks: values.join('|'), read: (text) => values.find((value) => value === text) ?? null };
}

const anything: Part<string> = { looks: '[^/]+', read: (text) => text };

const PARTS = {
  day: whole(15),
  /** A code, or what stands for a trial that is not named: the dry run, a token of a second opinion. */
  trial: anything,
  hand: oneOf('left', 'right'),
  camera: anything,
  sha256: { looks: '[0-9a-f]{64}', read: (text: string) => text },
  column: whole(6),
  calibration: whole(15),
  kind: oneOf('html', 'pdf'),
  format: oneOf('mat', 'edf'),
  page: oneOf('log', 'sheets'),
  protocol: { looks: '[^/]+', read: (text: string) => (isCode(text) ? text : null) },
  version: whole(9),
} satisfies Record<string, Part<unknown>>;

type PartName = keyof typeof PARTS;

type Resource = keyof typeof ADDRESSES;

type PartsIn<Path extends string> = Path extends `${string}{${infer Name}}${infer Rest}`
  ? Name | PartsIn<Rest>
  : never;

type PartValues<R extends Resource> = {
  readonly [Name in PartsIn<(typeof ADDRESSES)[R]> & PartName]: NonNullable<
    ReturnType<(typeof PARTS)[Name]['read']>
  >;
};

/** What an address is of, and its parts. */
export type Address = { readonly [R in Resource]: { readonly of: R } & PartValues<R> }[Resource];

const PART = /\{(\w+)\}/g;

/** Returns the address of a resource; codes stand in it as they are. */
export function addressOf<R extends Resource>(of: R, parts: PartValues<R>): string {
  const values: Readonly<Record<string, unknown>> = parts;
  return ADDRESSES[of].replace(PART, (_, name: string) => String(values[name]));
}

const READERS = (Object.entries(ADDRESSES) as [Resource, string][]).map(([of, path]) => {
  const names = [...path.matchAll(PART)].map(([, name]) => name as PartName);
  const looks = path.replaceAll('.', '\\.').replace(PART, (_, name: PartName) => `(${PARTS[name].looks})`);
  return { of, names, looks: new RegExp(`^${looks}$`) };
});

/** Reads a decoded path; null where it is the address of nothing that can be fetched. */
export function readAddress(path: string): Address | null {
  for (const { of, names, looks } of READERS) {
    const found = looks.exec(path);
    if (found === null) continue;
    const values = names.map((name, k) => [name, PARTS[name].read(found[k + 1]!)] as const);
    if (values.every(([, value]) => value !== null)) return { of, ...Object.fromEntries(values) } as Address;
  }
  return null;
}
