/** The verdict as one sentence, and which limits it rests on. */
import type { AssessedDraft } from '../../../core/sensor/assess.ts';
import type { BenchFinding } from '../../../core/sensor/limits.ts';
import { counted } from '../../format.ts';
import { verdictWords } from '../words.ts';

export const HELD_WORDS: Readonly<Record<BenchFinding['held'], readonly [sign: string, word: string]>> = {
  yes: ['✓', 'held'],
  no: ['✕', 'broken'],
  not_judged: ['?', 'not judged'],
};

/** Limits that only leave a remark where they are broken. */
const REMARKS = new Set<BenchFinding['limit']>([
  'leastPoints',
  'leastPressures',
  'leastCoveragePct',
  'upAndDown',
  'set_aside',
  'reference',
]);

/** What stands against a clean verdict, weightiest first. */
export function against({ verdict }: AssessedDraft): readonly BenchFinding[] {
  const weight = ({ held, limit }: BenchFinding) => (held === 'no' ? (REMARKS.has(limit) ? 1 : 0) : 2);
  return verdict.findings
    .filter(
      ({ held, limit }) => held !== 'yes' && !(held === 'not_judged' && limit === 'sensitivityChangePct'),
    )
    .toSorted((a, b) => weight(a) - weight(b));
}

/** @param pointCount points entered, set aside or not */
export function verdictSentence(assessed: AssessedDraft, pointCount: number): string {
  if (pointCount === 0) return 'No verdict yet: no point has been read.';
  const findings = against(assessed);
  const [first] = findings;
  if (assessed.assessment === null)
    return `No verdict yet: ${assessed.faults.find(({ code }) => code === 'water_unknown')?.says ?? first?.says ?? ''}`;
  const { verdict } = assessed.verdict;
  const words = verdictWords(verdict).says;
  if (first === undefined) {
    const held = assessed.verdict.findings.filter((finding) => finding.held === 'yes').length;
    return `${words}: ${held === 1 ? 'the one limit is' : `all ${held} limits that could be judged are`} held.`;
  }
  const more = findings.length - 1;
  const rest = more === 0 ? '' : ` ${counted(more, 'further finding')} below.`;
  return `${words}: ${first.says}${first.todo === null ? '' : ` ${first.todo}`}${rest}`;
}
