/** How what is found on arrival is put into findings: a bad one for each hand, a good one for both together. */
import type { TrialVerdict } from '../trial/check.ts';
import { type Hand, HANDS } from '../base/hand.ts';

export interface ArrivalFinding {
  readonly about:
    | 'trace'
    | 'duration'
    | 'sampling'
    | 'gaps'
    | 'saturation'
    | 'channel'
    | 'hands'
    | 'zero'
    | 'strokes'
    | 'noise'
    | 'film'
    | 'frame_rate'
    | 'coverage';
  readonly verdict: TrialVerdict;
  /** False where it could not be judged and is no reason to doubt the trial either. */
  readonly judged: boolean;
  readonly hand: Hand | null;
  /** One sentence with the number, its unit and the limit. */
  readonly says: string;
  /** Stretch of the trace that shows it, s on its clock; null where it is the whole. */
  readonly startS: number | null;
  readonly endS: number | null;
}

export interface Stretch {
  readonly startS: number;
  readonly endS: number;
}

/** What was made of one hand. `says` is a sentence where it is not good, else its part after the hand's name. */
export interface Judged {
  readonly verdict: TrialVerdict;
  readonly says: string;
  readonly stretch: Stretch | null;
  /** False where it could not be judged. */
  readonly judged: boolean;
}

type About = ArrivalFinding['about'];

/** A finding: what it is about, its verdict and its sentence; with the stretch of the trace and the hand that it concerns. */
export function finding(
  about: About,
  verdict: TrialVerdict,
  says: string,
  stretch: Stretch | null = null,
  hand: Hand | null = null,
): ArrivalFinding {
  const [startS, endS] = [stretch?.startS ?? null, stretch?.endS ?? null];
  return { about, verdict, judged: true, hand, says, startS, endS };
}

/** What could not be judged, and does not speak against the trial. */
export function untold(about: About, says: string): ArrivalFinding {
  return { ...finding(about, 'good', says), judged: false };
}

/** Found good, as the sentence says. */
export function good(says: string): Judged {
  return { verdict: 'good', says, stretch: null, judged: true };
}

/** For a hand of which a thing could not be judged. */
export function unjudged(says: string): Judged {
  return { ...good(says), judged: false };
}

/** To be looked at by a person, as the sentence says; with the stretch that shows it. */
export function look(says: string, stretch: Stretch | null = null): Judged {
  return { verdict: 'look', says, stretch, judged: true };
}

/** To be swum again, as the sentence says; with the stretch that shows it. */
export function again(says: string, stretch: Stretch | null = null): Judged {
  return { verdict: 'swim_again', says, stretch, judged: true };
}

/** Findings of one kind for both hands; null for a hand about which there is nothing to say. */
export function handFindings(
  about: About,
  title: string,
  judged: Readonly<Record<Hand, Judged | null>>,
): readonly ArrivalFinding[] {
  const isGood = (hand: Hand) => judged[hand]?.verdict === 'good';
  const bad = HANDS.flatMap((hand) => {
    const found = judged[hand];
    return found === null || isGood(hand)
      ? []
      : [finding(about, found.verdict, found.says, found.stretch, hand)];
  });
  const fine = HANDS.filter(isGood);
  if (fine.length === 0) return bad;
  const same = fine.length === 2 && judged.left!.says === judged.right!.says;
  const says = same
    ? `${title}: ${judged.left!.says} on each hand.`
    : `${title}: ${fine.map((hand) => `${hand} ${judged[hand]!.says}`).join('; ')}.`;
  const hand = fine.length === 1 ? fine[0]! : null;
  return [
    ...bad,
    { ...finding(about, 'good', says, null, hand), judged: fine.every((one) => judged[one]!.judged) },
  ];
}
