/** What was found on a trial's arrival, in words and as a table. */
import type { ArrivalReport, HandArrival } from '../../../core/arrival/report.ts';
import type { ArrivalFinding } from '../../../core/arrival/findings.ts';
import { HANDS, type Hand } from '../../../core/base/hand.ts';
import { counted, EMPTY, formatNumber, formatSigned, formatValue } from '../../format.ts';

/** The finding that decides the verdict; null where every finding is good. */
export function worstFinding({ verdict, findings }: ArrivalReport): ArrivalFinding | null {
  return findings.find((finding) => finding.verdict === verdict && verdict !== 'good') ?? null;
}

/** The reason that stands in the field before a person writes one: the worst finding, cut to what the lab takes. */
export function reasonFrom(report: ArrivalReport): string {
  return (worstFinding(report)?.says ?? '').slice(0, 500);
}

/** A stretch of the trace, such as `7.9–8.0 s`; a short one to a hundredth, so that its ends differ. */
export function stretchWords(startS: number, endS: number): string {
  const decimals = endS - startS < 1 ? 2 : 1;
  return `${formatNumber(startS, decimals)}–${formatValue(endS, 's', decimals)}`;
}

/** The evidence in words, for those who do not see it drawn. */
export function evidenceSentence({ hands, durationS, rateHz, section }: ArrivalReport): string {
  const parts: string[] = [];
  if (durationS !== null)
    parts.push(
      `Trace of ${formatValue(durationS, 's', 1)}${rateHz === null ? '' : ` at ${formatValue(rateHz, 'Hz')}`}.`,
    );
  for (const hand of HANDS) {
    const found = hands[hand];
    if (found === null) {
      parts.push(`The ${hand} hand has no samples.`);
      continue;
    }
    const peak = found.peakN === null ? '' : `, typical peak ${formatValue(found.peakN, 'N', 0)}`;
    const within = found.inSection === null ? '' : `, ${found.inSection} of them in the section`;
    parts.push(
      `The ${hand} hand: ${counted(found.strokes.length, 'stroke')} found on force (estimate)${within}${peak}.`,
    );
  }
  parts.push(
    section === null
      ? 'The section is not timed yet.'
      : `Section from ${formatValue(section.startS, 's')} to ${formatValue(section.endS, 's')}.`,
  );
  return parts.join(' ');
}

export interface NumberRow {
  readonly name: string;
  /** Each hand's value with its unit; a dash where there is none. */
  readonly values: Readonly<Record<Hand, string>>;
  /** Why a dash stands there. */
  readonly empty: string;
}

/** The numbers the verdict rests on, hand by hand. */
export function numberRows({ hands }: ArrivalReport): readonly NumberRow[] {
  const row = (name: string, empty: string, text: (found: HandArrival) => string): NumberRow => {
    const of = (hand: Hand) => (hands[hand] === null ? EMPTY : text(hands[hand]));
    return { name, empty, values: { left: of('left'), right: of('right') } };
  };
  return [
    row('Strokes found (estimate)', 'no samples', ({ strokes }) => String(strokes.length)),
    row('of them in the section', 'the section is not timed', ({ inSection }) =>
      inSection === null ? EMPTY : String(inSection),
    ),
    row('Longest gap', 'no samples', ({ longestGapMs }) => formatValue(longestGapMs, 'ms')),
    row('At the end of the range', 'no samples', ({ saturatedFraction }) =>
      formatValue(100 * saturatedFraction, '%', 2),
    ),
    row('Zero shift', 'no quiet stretch at both ends', ({ zeroShiftKpa }) =>
      zeroShiftKpa === null ? EMPTY : `${formatSigned(zeroShiftKpa, 3)}\u00a0kPa`,
    ),
    row('Noise, SD of the quietest second', 'no force', ({ noiseN }) => formatValue(noiseN, 'N', 2)),
    row('Typical peak', 'no stroke found', ({ peakN }) => formatValue(peakN, 'N', 0)),
    row('Peak to noise', 'peak or noise is not known', ({ peakN, noiseN }) =>
      peakN === null || noiseN === null || noiseN <= 0 ? EMPTY : formatNumber(peakN / noiseN, 0),
    ),
  ];
}

/** Why the plot lacks a line; null where both hands have a force. */
export function lineFault(hasForce: Readonly<Record<Hand, boolean>>): string | null {
  const without = HANDS.filter((hand) => !hasForce[hand]);
  if (without.length === 0) return null;
  const who = without.length === 2 ? 'Neither hand has' : `The ${without[0]!} hand has no`;
  return without.length === 2
    ? `${who} a force: sensor, calibration or hand area is missing. The raw samples are drawn.`
    : `${who} force: its sensor, calibration or hand area is missing.`;
}
