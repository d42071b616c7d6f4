/** Where a testing day can hurt someone, as its printed pages say it. Common practice, no source; local rules decide. */
import type { ProtocolContent } from '../protocol/content.ts';
import { list } from './page.ts';

/** The cautions for a protocol, framed. */
export function printedCautions({ start }: Pick<ProtocolContent, 'start'>): string {
  const dive =
    start === 'dive'
      ? [
          'Dive only where depth, starting block and the pool’s rules allow it, and by swimmers trained for it.',
        ]
      : [];
  return `<div class="cautions">${list([
    'Nobody swims without a lifeguard or the supervision that the pool’s rules ask for.',
    'Near the water isolated battery power only; nothing on mains power within reach of it. The local electrical code decides.',
    'A swimmer with shoulder pain, dizziness, or who is cold or unwell stops at once; the trial is over.',
    'Look at skin and straps before every trial; the lane and the wall are clear before every start.',
    ...dive,
    'Nobody is measured or filmed without consent. For a minor: a guardian’s consent and the swimmer’s own assent.',
    'The numbers are information for training. They are not a diagnosis and clear nobody to swim.',
    'Local rules, the pool’s rules and the advice of licensed practitioners come before anything on this page.',
  ])}</div>`;
}
