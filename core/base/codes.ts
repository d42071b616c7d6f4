/** What fields take, as schemas: codes, hands, numbers. The failure is the end of a sentence that begins with the field. */
import { z } from 'zod';
import './schemawords.ts';
import { HANDS } from './hand.ts';
import { isCode, isPlainCode } from './table.ts';

export const code = z.string().refine(isCode, 'takes 1 to 64 of the characters A–Z a–z 0–9 _ . -');

/** A code that may also stand in an address and name a folder. */
export const plainCode = z
  .string()
  .refine(isPlainCode, 'takes 1 to 64 of the characters A–Z a–z 0–9 _ . -, not dots alone');

export const hand = z.enum(HANDS, 'takes left or right');

export const strokeNumber = z.number().int().positive();

export const finite = z.number('takes a number');

export const positive = finite.positive('must be above 0');

export const notNegative = finite.nonnegative('must not be below 0');
