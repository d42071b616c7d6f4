/** How a recording tells its times: by a column with its unit, or by the rate at which it was taken. */
import { z } from 'zod';

export const recordingTime = z.union(
  [
    z.strictObject({ column: z.string().min(1), unit: z.enum(['s', 'ms', 'us']) }),
    z.strictObject({ rateHz: z.number().positive() }),
  ],
  'takes a column with its unit (s, ms, us), or a rate in Hz',
);

export type RecordingTime = z.infer<typeof recordingTime>;
