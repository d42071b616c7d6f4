/** Agreement in plain words: what each measure says, and numbers with as many digits as the raters' scatter allows. */
import type {
  AgreementView,
  Limited,
  RatingAgreementView,
  ValueAgreementView,
} from '../../core/contract/review.ts';
import { eventWords, EVENTS } from '../../core/stroke/stroke.ts';
import { formatNumber, formatSigned } from '../format.ts';

export type RaterPair = AgreementView['pairs'][number];

/** What was compared. */
export type ComparedValue = RaterPair['values'][number];

const SPACE = '\u00a0';
/** Digits of a coefficient. */
const COEFFICIENT = 2;

/** Decimals that leave two significant digits of the typical error, none to six. */
export function decimalsOf({ typicalError, bias }: ValueAgreementView): number {
  const size = typicalError > 0 ? typicalError : Math.abs(bias.value);
  if (!(size > 0)) return COEFFICIENT;
  return Math.min(6, Math.max(0, 1 - Math.floor(Math.log10(size) + 1e-9)));
}

/** A name as the lab gives it, an event's in words. */
export function nameOf({ name }: Pick<ComparedValue, 'name'>): string {
  const event = EVENTS.find((one) => one === name);
  const words = event === undefined ? name : eventWords(event);
  return words.charAt(0).toUpperCase() + words.slice(1);
}

/** A number without its limits. */
export function valueText({ value }: Limited, decimals: number, signed: boolean): string {
  return signed ? formatSigned(value, decimals) : formatNumber(value, decimals);
}

/** The 95 % confidence limits of a number, such as `(−2 to +10)`; empty where there are none. */
export function limitsText({ low, high }: Limited, decimals: number, signed: boolean): string {
  if (low === null || high === null) return '';
  const text = (value: number) => valueText({ value, low: null, high: null }, decimals, signed);
  return `(${text(low)} to ${text(high)})`;
}

/** One value's agreement as a person would say it. */
export function valueSentence(
  { first, second }: Pick<RaterPair, 'first' | 'second'>,
  value: ComparedValue,
): string {
  const name = nameOf(value);
  const { agreement, unit } = value;
  if (agreement === null) return `${name}: ${value.reason ?? 'no agreement can be given'}`;
  const decimals = decimalsOf(agreement);
  const { bias, lowerLimit, upperLimit, typicalError, n, swimmers } = agreement;
  const by = formatNumber(Math.abs(bias.value), decimals);
  const side =
    Number(by) === 0
      ? `${second} and ${first} give the same on average`
      : `${second} gives ${by}${SPACE}${unit} ${bias.value > 0 ? 'more' : 'less'} than ${first} on average`;
  const surely =
    bias.low !== null && bias.high !== null && bias.low <= 0 && bias.high >= 0
      ? ', which chance alone could do'
      : '';
  return `${name}: ${side}${surely}. Of 20 differences about 19 lie between ${formatSigned(lowerLimit.value, decimals)} and ${formatSigned(upperLimit.value, decimals)}${SPACE}${unit}. One rater alone scatters by about ${formatNumber(typicalError, decimals)}${SPACE}${unit}. From ${n} pairs of ${swimmers === 1 ? 'one swimmer, so that nothing is known of others' : `${swimmers} swimmers`}.`;
}

/** Agreement on entry position as a person would say it. */
export function entrySentence(entry: RatingAgreementView | null, reason: string | null): string {
  if (entry === null) return reason ?? 'Neither rater judged the entry position of the same strokes.';
  const same = `Both give the same entry position to ${formatNumber(entry.agreedPct, 0)}${SPACE}% of ${entry.n} strokes.`;
  if (entry.kappa === null) return `${same} ${reason ?? ''}`.trim();
  const sure =
    entry.kappa.low === null
      ? ' Without a single disagreement nothing tells how sure it is, so it has no limits.'
      : '';
  return `${same} Kappa is 1 where they always agree and 0 where they agree no more than chance; the weighted one forgives a step to the neighbouring position half.${sure}`;
}

/** What the words of the table mean. */
export const MEANINGS: readonly { readonly name: string; readonly says: string }[] = [
  {
    name: 'Bias',
    says: 'the mean difference, second rater less first; its confidence limits go by swimmers, since strokes of one swimmer are alike.',
  },
  {
    name: 'Limits of agreement',
    says: 'bias ± 1.96 standard deviations of one difference, of another stroke of another swimmer: 95 % of differences are expected between them (several strokes of a swimmer, after Bland & Altman 2007; their confidence limits after Zou 2013).',
  },
  {
    name: 'Typical error',
    says: 'the standard deviation of the differences over √2: the scatter of one rater, where both are alike (Hopkins 2000).',
  },
  {
    name: 'ICC(2,1)',
    says: 'how far one mark of any rater tells strokes apart, a steady shift between raters counting against it; 1 is best (Shrout & Fleiss 1979).',
  },
  {
    name: 'ICC(3,1)',
    says: 'the same for these raters alone, a steady shift between them not counting. Confidence limits of both by leaving out one swimmer at a time; none below three swimmers.',
  },
];
