/** Where propulsion was read, in words: an index of coordination from force and one from film are not the same number. */
import type { PropulsionBasis } from './result.ts';

export const BASIS_WORDS: Readonly<Record<PropulsionBasis, string>> = {
  force: 'propulsion from force',
  video: 'propulsion from film',
  mixed: 'propulsion from force and film',
};
