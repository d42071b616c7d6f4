/** What tests show of invented swimmers, all of whom consent. */
import type { Shown } from '../../core/base/shown.ts';

export function asShown<T>(value: T): Shown<T> {
  return value as Shown<T>;
}
