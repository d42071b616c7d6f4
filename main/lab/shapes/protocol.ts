/** Protocols, kept and being made. */
import { z } from 'zod';
import { notNegative } from '../../../core/base/codes.ts';
import { protocolContent, type ProtocolContent } from '../../../core/protocol/content.ts';
import type { Shape } from './shape.ts';

const measured = z.looseObject({ measures: z.array(z.string()) });

/** One measure had another name before version 2. */
function renameMeasures(value: unknown): unknown {
  const read = measured.safeParse(value);
  if (!read.success) return value;
  const measures = read.data.measures.map((measure) =>
    measure === 'shoulder_exposure' ? 'high_hand' : measure,
  );
  return { ...read.data, measures };
}

export const PROTOCOL_SHAPE: Shape<ProtocolContent> = {
  what: 'contents of a protocol',
  version: 3,
  // The first programs took rests of any length.
  schema: protocolContent.extend({ restMinS: notNegative }),
  upgrade: renameMeasures,
};
