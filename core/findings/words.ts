/**
 * What was found, in sentences: numbers in the form journals ask for (M, SD, t(df), p, effect with its limits), no more
 * said than the numbers carry. Each sentence names the row of tests.csv it is read from.
 */
import { minus } from '../base/words.ts';
import { designOf } from './ask.ts';
import type { Finding, Results, TestRow } from './compare.ts';
import { headingOf, type Labelled } from './figures/figures.ts';
import type { GroupSummary } from './groups.ts';
import type { TestName } from './plan.ts';
import type { Term } from './term.ts';

/** Numbers of a sentence: three figures, more where the value has more before its point. */
export function numberText(value: number): string {
  const size = Math.abs(value);
  if (size >= 1e6 || (size > 0 && size < 1e-4)) return minus(value.toPrecision(3));
  const decimals =
    size >= 100
      ? 1
      : size >= 10
        ? 2
        : size >= 1 || size === 0
          ? 2
          : Math.min(6, 2 - Math.floor(Math.log10(size)));
  return minus(value.toFixed(decimals));
}

/** A p value as journals write it. */
export function pText(p: number): string {
  return p < 0.001 ? 'p < 0.001' : `p = ${p.toFixed(3)}`;
}

function interval(limits: { readonly low: number; readonly high: number | null } | null): string {
  if (limits === null) return '';
  return ` [${numberText(limits.low)}, ${limits.high === null ? '∞' : numberText(limits.high)}]`;
}

const NAMES: Readonly<Record<TestName, string>> = {
  welch: "Welch's t test",
  student: "Student's t test",
  paired: 'paired t test',
  equivalence: 'two one-sided Welch tests',
  mann_whitney: 'Mann–Whitney test',
  wilcoxon: 'Wilcoxon signed-rank test',
  welch_anova: "Welch's analysis of variance",
  anova: 'analysis of variance',
  anova2: 'two-way analysis of variance',
  kruskal: 'Kruskal–Wallis test',
  chi_square: "Pearson's χ² test",
  fisher: "Fisher's exact test",
  pearson: "Pearson's correlation",
  spearman: "Spearman's correlation",
  regression: 'linear regression',
  mixed: 'mixed model with a random intercept per swimmer',
  repeatability: 'repeatability',
};

/** A test’s name in words. */
export function testText(test: TestName): string {
  return NAMES[test];
}

const STATISTICS: Partial<Record<TestName, string>> = {
  mann_whitney: 'U',
  wilcoxon: 'V',
  welch_anova: 'F',
  anova: 'F',
  anova2: 'F',
  kruskal: 'H',
  chi_square: 'χ²',
};

const EFFECTS: Readonly<Record<string, string>> = {
  hedges_g: 'Hedges g',
  hedges_g_z: 'Hedges g_z',
  rank_biserial: 'rank-biserial r',
  eta_squared: 'η²',
  partial_eta_squared: 'partial η²',
  epsilon_squared: 'ε²',
  cramers_v: "Cramér's V",
  odds_ratio: 'odds ratio',
  r: 'r',
  rho: 'ρ',
  r_squared: 'R²',
};

/** t(52.8) = −3.29, p = 0.002 (adjusted p = 0.005), Hedges g = −0.86 [−1.39, −0.32] */
function numbersOf({ term, pAdjusted, answered }: TestRow): string {
  const { statistic, df1, df2, p, effect } = term;
  const parts: string[] = [];
  if (statistic !== null) {
    const df = df1 === null ? '' : `(${dfText(df1)}${df2 === null ? '' : `, ${dfText(df2)}`})`;
    parts.push(`${STATISTICS[answered.question.test] ?? 't'}${df} = ${numberText(statistic)}`);
  }
  if (p !== null) {
    const isSame = pAdjusted === null || pAdjusted === p;
    parts.push(isSame ? pText(p) : `${pText(p)}, adjusted ${pText(pAdjusted)}`);
  }
  if (effect?.value != null)
    parts.push(
      `${EFFECTS[effect.name] ?? effect.name} = ${numberText(effect.value)}${interval(effect.limits)}`,
    );
  return parts.join(', ');
}

function dfText(df: number): string {
  return Number.isInteger(df) ? String(df) : df.toFixed(1);
}

function groupText({ group, n, mean, sd }: GroupSummary): string {
  const about = [
    mean === null ? '' : `M = ${numberText(mean)}`,
    sd === null ? '' : `SD = ${numberText(sd)}`,
    `n = ${n}`,
  ];
  return `${group} (${about.filter((part) => part !== '').join(', ')})`;
}

/** What an adjusted p says, and what it does not. */
function verdict({ term, pAdjusted, answered: { question } }: TestRow): string {
  const p = pAdjusted ?? term.p;
  if (p === null) return '';
  const isBelow = p < 1 - question.confidence;
  if (question.test === 'equivalence')
    return isBelow
      ? ` The difference lies within ± ${numberText(question.margin!)}: for that margin the groups are the same.`
      : ` That the difference lies within ± ${numberText(question.margin!)} is not shown.`;
  const design = designOf(question.test);
  if (design === 'line' || design === 'counts')
    return isBelow
      ? ' Chance alone would seldom give as strong a relation.'
      : ' A relation is not shown; that there is none is not shown either.';
  return isBelow
    ? ' Chance alone would seldom give as large a difference.'
    : ' A difference is not shown; that there is none is not shown either.';
}

/** What a difference has to be held against. */
function cautions({ sharedU, notes, term, leftOut }: TestRow, unit: string): string {
  const parts: string[] = [];
  if (sharedU !== null && term.estimate !== null)
    parts.push(`All values share a standard uncertainty that makes ${numberText(sharedU)}${unit} of it.`);
  if (notes.includes('sensors_differ'))
    parts.push(
      'A sensor was worn in one group only: what it reads too high or too low looks like a difference.',
    );
  if (notes.includes('days_differ'))
    parts.push('A day was swum by one group only: what was particular to it looks like a difference.');
  if (leftOut > 0)
    parts.push(
      `Left out: ${notes
        .filter((note) => /^no_/.test(note))
        .join(', ')
        .replaceAll('_', ' ')}.`,
    );
  return parts.length === 0 ? '' : ` ${parts.join(' ')}`;
}

const TERMS: Readonly<Record<string, string>> = {
  intercept: 'Intercept',
  slope: 'Slope',
  participant_sd: 'SD between swimmers',
  residual_sd: 'SD of trials within a swimmer',
  typical_error: 'Typical error',
  change_95: 'Smallest change of one swimmer beyond chance (95 times in 100)',
  icc_2_1: 'ICC(2,1)',
  icc_3_1: 'ICC(3,1)',
};

function nameOf({ term }: Term): string {
  return TERMS[term] ?? term;
}

/** One sentence or more for a row of tests.csv. */
function rowSentence(row: TestRow, finding: Finding, unit: string): string {
  const { term, n, answered } = row;
  const { question } = answered;
  const estimate =
    term.estimate === null ? '' : `${numberText(term.estimate)}${unit}${interval(term.limits)}`;
  const numbers = numbersOf(row);
  const rest = `${verdict(row)}${cautions(row, unit)}`;
  if (term.term === '') {
    const groups = finding.groups
      .filter(({ group }) => group !== '' && designOf(question.test) !== 'counts')
      .map(groupText);
    const who = groups.length === 0 ? `${n} swimmers` : groups.join(' and ');
    const isMedian = question.test === 'mann_whitney' || question.test === 'wilcoxon';
    const by = estimate === '' ? '' : `, ${isMedian ? 'median ' : ''}difference ${estimate}`;
    return `${who}: ${testText(question.test)}${by}, ${numbers}.${rest}`;
  }
  const isContrast = designOf(question.test) === 'trials' && term.p !== null && term.term !== 'intercept';
  const what = isContrast ? `${term.term} − ${answered.compared.names[0]![0]!}` : nameOf(term);
  const parts = [estimate, numbers].filter((part) => part !== '');
  return `${what}: ${parts.join(', ')}.${term.term === 'intercept' || term.p === null ? '' : rest}`;
}

const HAS_NO_UNIT: ReadonlySet<string> = new Set(['icc_2_1', 'icc_3_1']);

/** The unit of a slope: that of the outcome for one of the other number. */
function slopeUnit(unit: string, on: string): string {
  if (unit === on) return '';
  return on === '' ? unit : `${unit === '' ? '1' : unit} per ${on}`;
}

export interface Said {
  readonly question: string;
  readonly heading: string;
  /** How it was asked. */
  readonly lead: string;
  readonly sentences: readonly { readonly row: number; readonly says: string }[];
}

/**
 * Every answer in sentences, each with its row of tests.csv, from 1 below the header.
 * @param unitOf unit of a column, empty for none
 */
export function sentencesOf(
  { findings }: Results,
  labelled: Labelled,
  unitOf: (column: string) => string,
): readonly Said[] {
  let row = 0;
  return findings.map((finding) => {
    const { question } = finding.answered;
    const unit = unitOf(question.outcome ?? '');
    const heading = headingOf(finding.answered, labelled);
    const kind = question.kind === 'planned' ? 'planned' : 'exploratory';
    const units = {
      participant_mean: "each swimmer's mean",
      participant_best: "each swimmer's best trial",
      trial: 'trials',
    };
    const design = designOf(question.test);
    const of =
      design === 'trials' || design === 'repeats' ? 'trials, with their swimmers' : units[question.unit];
    const on = question.on === undefined ? '' : unitOf(question.on);
    const unitIn = (term: string) => {
      if (question.test === 'regression') return term === 'slope' ? slopeUnit(unit, on) : unit;
      return design === 'line' || HAS_NO_UNIT.has(term) ? '' : unit;
    };
    return {
      question: question.id,
      heading: question.words ?? heading,
      lead: `${heading}; ${testText(question.test)}${design === 'counts' ? '' : ` on ${of}`}; ${kind}; limits at ${100 * question.confidence} %.${question.why === undefined ? '' : ` Why this test: ${question.why}`}${finding.basisSays === null ? '' : ` ${finding.basisSays}`}`,
      sentences: finding.rows.map((own) => {
        row += 1;
        const ownUnit = unitIn(own.term.term);
        return { row, says: rowSentence(own, finding, ownUnit === '' ? '' : ` ${ownUnit}`) };
      }),
    };
  });
}
