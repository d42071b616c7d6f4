import { z } from 'zod';
import { isCode } from './table.ts';

export const code = z.string().refine(isCode, 'takes 1 to 64 of the characters A–Z a–z 0–9 _ . -');

export const hand = z.enum(['left', 'right']);

export const strokeNumber = z.number().int().positive();

export const finite = z.number();

export const positive = z.number().positive();

export const notNegative = z.number().nonnegative();
