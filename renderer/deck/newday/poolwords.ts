/** What it changes where a day is swum in a pool of another length than its protocol was drawn for. */
import type { ProtocolContent } from '../../../core/protocol/content.ts';

const metres = (lengthM: number) => `${Number(lengthM.toPrecision(6))}\u00a0m`;

/** One sentence for each thing that changes; none where the pool is the protocol's. */
export function poolWords(content: ProtocolContent, poolLengthM: number): readonly string[] {
  const { poolLengthM: planned, runM, sectionFromWallM, start } = content;
  if (poolLengthM === planned) return [];
  const [from, to] = sectionFromWallM;
  const says = [
    `The protocol was drawn for a pool of ${metres(planned)}; this one is ${metres(poolLengthM)}.`,
  ];
  if (runM > poolLengthM)
    says.push(
      `The run of ${metres(runM)} does not fit in: it needs a turn, and what is measured is no longer one sprint. Choose another protocol or a shorter run.`,
    );
  else
    says.push(
      `All distances count from the finishing wall, so the section stays ${metres(from)} to ${metres(to)} before it; the start now lies ${metres(poolLengthM - runM)} from the other wall.`,
    );
  if (runM < poolLengthM && start !== 'in_water')
    says.push(
      start === 'dive'
        ? 'There is no block to dive from at that place: the start and its glide will differ from the plan.'
        : 'There is no wall to push off from at that place: the start and its glide will differ from the plan.',
    );
  says.push('Measure the marks again in this pool; marks on the rope of another one do not hold.');
  return says;
}
