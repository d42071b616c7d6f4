/** Reading what a decision holds. */
import type { Decision } from '../../store/decisions.ts';
import { readKept, type Shape } from '../shapes/shape.ts';

type Standing = Pick<Decision, 'id' | 'after' | 'shape'>;

/** The value of a decision in today's shape; `none` where there is no decision, or one that takes all back. */
export function readDecided<T>(shape: Shape<T>, decision: Standing): T;
export function readDecided<T, N>(shape: Shape<T>, decision: Standing | undefined, none: N): T | N;
export function readDecided<T>(shape: Shape<T>, decision: Standing | undefined, none?: unknown): unknown {
  if (decision === undefined || (decision.after === null && none !== undefined)) return none;
  return readKept(shape, decision.after, `decision ${decision.id}`, decision.shape);
}
