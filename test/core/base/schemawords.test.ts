/** What a schema refuses is said in our words: a person never reads those of a library. */
import { expect, test } from 'vitest';
import { z } from 'zod';
import '../../../core/base/schemawords.ts';

const said = (schema: z.ZodType, value: unknown) => schema.safeParse(value).error?.issues[0]?.message;

test.each([
  [z.string(), undefined, 'is missing'],
  [z.string(), 1, 'takes text'],
  [z.number(), 'x', 'takes a number'],
  [z.number().int(), 1.5, 'takes a whole number'],
  [z.number().positive(), 0, 'must be above 0'],
  [z.number().max(3), 4, 'must be at most 3'],
  [z.enum(['a', 'b']), 'c', 'takes "a", "b"'],
  [z.array(z.string()), 1, 'takes a list'],
  [z.strictObject({}), { more: 1 }, 'holds "more", which has no meaning here'],
  [z.string().min(2), '', 'must be at least 2 characters'],
  [z.union([z.string(), z.number()]), true, 'cannot be read'],
])('%#', (schema, value, words) => expect(said(schema, value)).toBe(words));
