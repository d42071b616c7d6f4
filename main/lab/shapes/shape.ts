/**
 * What the lab folder keeps as JSON is read through a shape: a schema, the number of its version, and what makes of an
 * older version today's. What does not fit costs the thing that it stands in, named, and nothing else.
 */
import type { z } from 'zod';
import type { LabError } from '../../../core/base/refusal.ts';

export interface Shape<T> {
  /** What it is, for a sentence: `marks of a trial`. */
  readonly what: string;
  /** Rises when what is written changes in a way that this program's readers must know of. */
  readonly version: number;
  readonly schema: z.ZodType<T>;
  /** Makes of a value of an older version one of today's; left out where old values fit as they are. */
  readonly upgrade?: (value: unknown, version: number) => unknown;
}

/** Something kept that cannot be read: thrown where it is needed, and shown in place of what needed it. */
export class KeptFault extends Error {
  override readonly name = 'KeptFault';
  readonly error: LabError;

  constructor(says: string, todo: string) {
    super(says);
    this.error = { code: 'unreadable', says, todo };
  }
}

const ELSEWHERE = 'Everything else works. ';

/**
 * A kept value as today's program reads it; throws a {@link KeptFault} where it cannot.
 * @param where which one it is: `decision 12`
 * @param version the shape in which it was written
 */
export function readKept<T>(shape: Shape<T>, value: unknown, where: string, version = 1): T {
  if (version > shape.version)
    throw new KeptFault(
      `The ${shape.what} (${where}) were written by a newer version of this program, which this one cannot read.`,
      `${ELSEWHERE}Open the lab folder with the newer version.`,
    );
  const current = version < shape.version && shape.upgrade ? shape.upgrade(value, version) : value;
  const read = shape.schema.safeParse(current);
  if (read.success) return read.data;
  throw new KeptFault(
    `The ${shape.what} (${where}) cannot be read: ${faultText(read.error)}.`,
    `${ELSEWHERE}Open a backup of the lab folder to see what it was, or write what can be read to a new lab folder with "lanebench salvage".`,
  );
}

/** {@link readKept} for a JSON text. */
export function readText<T>(shape: Shape<T>, text: string, where: string): T {
  let value: unknown;
  try {
    value = JSON.parse(text);
  } catch {
    value = undefined;
  }
  return readKept(shape, value, where, shape.version);
}

/** What a schema found, in words: where it is, and whether something is missing or of another kind. */
function faultText(error: z.ZodError): string {
  const [issue] = error.issues;
  if (issue === undefined) return 'it is not what is kept there';
  const path = issue.path.map((part) =>
    typeof part === 'number' ? `item ${part + 1}` : `“${String(part)}”`,
  );
  const place = path.length === 0 ? 'the whole of it' : path.join(', ');
  const missing = issue.code === 'invalid_type' && issue.message === 'is missing';
  return missing ? `${place} is missing` : `${place} is not what is kept there`;
}
