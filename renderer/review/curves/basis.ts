/** What propulsion of trials was read from, where it bears on laying their curves over one another. */
import type { PropulsionBasis } from '../../../core/trial/result.ts';

const BASIS: Readonly<Record<PropulsionBasis, string>> = {
  force: 'force',
  video: 'film',
  mixed: 'force in part and film in part',
};

/**
 * What is to be told before curves are averaged or laid over one another that rest on other propulsion marks: read from
 * force, propulsion starts and ends elsewhere than on film. Null where nothing is.
 */
export function basisWarning(
  own: { readonly trial: string; readonly basis: PropulsionBasis | null },
  other: { readonly trial: string; readonly basis: PropulsionBasis | null } | null,
): string | null {
  if (other === null)
    return own.basis === 'mixed'
      ? `Propulsion of ${own.trial} was read from ${BASIS.mixed}, which are not the same moments: a cycle that begins at the propulsion start mixes them.`
      : null;
  if (own.basis === null || other.basis === null || (own.basis === other.basis && own.basis !== 'mixed'))
    return null;
  return `Propulsion of ${own.trial} was read from ${BASIS[own.basis]}, of ${other.trial} from ${BASIS[other.basis]}: read from force it ends before the hand leaves the water, so the two are not the same moments.`;
}
