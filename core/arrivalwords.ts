/** How what is found on arrival is put into findings: a bad one for each hand, a good one for both together. */
import type { ArrivalFinding } from './arrivalcheck.ts';
import { HANDS, type Hand } from './day.ts';
import { figures } from './statistics.ts';
import type { CheckVerdict } from './trialcheck.ts';

export interface Stretch {
  readonly startS: number;
  readonly endS: number;
}

/** What was made of one hand. `says` is a sentence where it is not good, else its part after the hand's name. */
export interface Judged {
  readonly verdict: CheckVerdict;
  readonly says: string;
  readonly stretch: Stretch | null;
  /** False where it could not be judged. */
  readonly judged: boolean;
}

type About = ArrivalFinding['about'];

export function finding(
  about: About,
  verdict: CheckVerdict,
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

export function good(says: string): Judged {
  return { verdict: 'good', says, stretch: null, judged: true };
}

/** For a hand of which a thing could not be judged. */
export function unjudged(says: string): Judged {
  return { ...good(says), judged: false };
}

export function look(says: string, stretch: Stretch | null = null): Judged {
  return { verdict: 'look', says, stretch, judged: true };
}

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

/** A number with its sign, such as +0.31 or −0.02, to so many decimals. */
export function signed(value: number, decimals = 2): string {
  const size = Math.abs(value).toFixed(decimals);
  if (Number(size) === 0) return size;
  return `${value > 0 ? '+' : '−'}${size}`;
}

export function percent(fraction: number): string {
  return `${figures(100 * fraction, 2)} %`;
}

export function seconds(value: number): string {
  return `${value.toFixed(1)} s`;
}

/** "1 stroke", "3 strokes". */
export function counted(count: number, noun: string): string {
  return `${count} ${noun}${count === 1 ? '' : 's'}`;
}
