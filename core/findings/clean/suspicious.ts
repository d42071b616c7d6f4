/**
 * Values that a person should look at, by rules that can be seen, each with its reason: far from the others of its
 * group, beyond what a body and the water allow, one hand far from the other, one swim far from the swimmer's others.
 * Nothing is removed by a rule; what rests on propulsion is held against trials alone that read it from the same thing. Limits of median ± 3 MAD after Leys et al. 2013 (see `mad.ts`); the other limits are
 * common practice, no source, but where `bounds.ts` names one.
 */
import { figures, minus } from '../../base/words.ts';
import { BASIS_WORDS } from '../../trial/basis.ts';
import type { PropulsionBasis } from '../../trial/result.ts';
import { restsOnPropulsion } from '../basis.ts';
import { grouped } from '../study.ts';
import { BOUNDS, HAND_PAIRS } from './bounds.ts';
import { gridColumn, numberAt, textAt, type GridCells, type GridColumn } from './columns.ts';
import { robust } from './mad.ts';

export type RuleName = 'group' | 'bounds' | 'hands' | 'change';

/** What each rule is called, and what it does, for who turns it on or off. */
export const RULE_WORDS: Readonly<Record<RuleName, { readonly name: string; readonly says: string }>> = {
  group: {
    name: 'Far from its group',
    says: 'beyond median ± 3 MAD of the trials of its group; MAD is the median distance from the median × 1.4826',
  },
  bounds: {
    name: 'Beyond what is possible',
    says: 'outside physical bounds, such as a velocity above 2.5 m/s',
  },
  hands: {
    name: 'Left against right',
    says: 'the hands differ by more than half of their mean',
  },
  change: {
    name: 'Change of one swimmer',
    says: 'differs from the middle of the swimmer’s trials by more than 3 MAD of such differences of all swimmers',
  },
};

/** How many MAD from the median are far (Leys et al. 2013: "very conservative"). */
const FAR = 3;
/** A spread of fewer values than this is not known (common practice, no source). */
const FEWEST = 5;
/** Changes of one swimmer are held against the spread of at least so many (common practice, no source). */
const FEWEST_CHANGES = 10;
/** Hands that differ by more than this share of their mean (common practice, no source). */
const HANDS_APART = 0.5;

/** A trial as the rules read it. */
export interface RuledTrial {
  readonly participant: string;
  /** Trials of one group are held against one another. */
  readonly group: string;
  /** False for an excluded trial: it is judged, and moves no limit. */
  readonly counts: boolean;
  readonly cells: GridCells;
}

export interface Suspicion {
  readonly column: string;
  readonly rule: RuleName;
  /** The reason, one sentence with the value and the limit. */
  readonly says: string;
}

/** The suspicions of each trial, by its place in the list; a trial without any is absent. */
export type Suspicions = ReadonlyMap<number, readonly Suspicion[]>;

/** Holds every trial against the rules that are on. */
export function suspicionsOf(trials: readonly RuledTrial[], rules: ReadonlySet<RuleName>): Suspicions {
  const found = new Map<number, Suspicion[]>();
  const add = (trial: number, suspicion: Suspicion) => {
    const own = found.get(trial);
    if (own === undefined) found.set(trial, [suspicion]);
    else own.push(suspicion);
  };
  const columns = BOUNDS.map(({ column }) => gridColumn(column));
  if (rules.has('bounds')) beyondBounds(trials, add);
  if (rules.has('hands')) handsApart(trials, add);
  if (rules.has('group')) for (const column of columns) farFromGroup(trials, column, add);
  if (rules.has('change')) for (const column of columns) farFromOwn(trials, column, add);
  return found;
}

type Add = (trial: number, suspicion: Suspicion) => void;

const say = (value: number, unit: string) => minus(`${figures(value)}${unit === '' ? '' : ` ${unit}`}`);

function beyondBounds(trials: readonly RuledTrial[], add: Add): void {
  for (const { column: name, low, high } of BOUNDS) {
    const { at, head, unit } = gridColumn(name);
    trials.forEach(({ cells }, index) => {
      const value = numberAt(cells, at);
      if (value === null || (value >= low && value <= high)) return;
      add(index, {
        column: name,
        rule: 'bounds',
        says: `${head} ${say(value, unit)} lies outside ${say(low, '')} to ${say(high, unit)}, what can be swum and measured.`,
      });
    });
  }
}

function handsApart(trials: readonly RuledTrial[], add: Add): void {
  for (const { left, right, what } of HAND_PAIRS) {
    const [ofLeft, ofRight] = [gridColumn(left), gridColumn(right)];
    trials.forEach(({ cells }, index) => {
      const [l, r] = [numberAt(cells, ofLeft.at), numberAt(cells, ofRight.at)];
      if (l === null || r === null) return;
      const mean = (l + r) / 2;
      if (Math.abs(r - l) <= HANDS_APART * Math.abs(mean)) return;
      add(index, {
        column: l > r ? left : right,
        rule: 'hands',
        says: `${what} differs between the hands by more than half of their mean: left ${say(l, ofLeft.unit)}, right ${say(r, ofLeft.unit)}.`,
      });
    });
  }
}

interface Valued {
  readonly index: number;
  readonly value: number;
  readonly trial: RuledTrial;
  /** What propulsion was read from, of a column that rests on it; empty for others. Only like is held against like. */
  readonly basis: string;
}

function valuesOf(trials: readonly RuledTrial[], { at, name }: GridColumn): readonly Valued[] {
  const basisAt = restsOnPropulsion(name) ? gridColumn('propulsion_basis').at : null;
  return trials.flatMap((trial, index) => {
    const value = numberAt(trial.cells, at);
    const basis = basisAt === null ? '' : textAt(trial.cells, basisAt);
    return value === null ? [] : [{ index, value, trial, basis }];
  });
}

/** Values of one key and one basis together. */
function alike(values: readonly Valued[], keyOf: (value: Valued) => string): readonly (readonly Valued[])[] {
  return [...grouped(values, (value) => JSON.stringify([keyOf(value), value.basis])).values()];
}

function farFromGroup(trials: readonly RuledTrial[], column: GridColumn, add: Add): void {
  const { name, head, unit } = column;
  for (const own of alike(valuesOf(trials, column), ({ trial }) => trial.group)) {
    const { trial, basis } = own[0]!;
    const counted = own.filter(({ trial }) => trial.counts).map(({ value }) => value);
    const spread = counted.length < FEWEST ? null : robust(counted);
    // Where more than half of the values are equal the rule has no limit to hold others against.
    if (spread === null || spread.mad === 0) continue;
    const [low, high] = [spread.median - FAR * spread.mad, spread.median + FAR * spread.mad];
    for (const { index, value } of own) {
      if (value >= low && value <= high) continue;
      const where = trial.group === '' ? 'all trials' : trial.group;
      const from = basis === '' ? '' : `, ${BASIS_WORDS[basis as PropulsionBasis]}`;
      add(index, {
        column: name,
        rule: 'group',
        says: `${head} ${say(value, unit)} lies outside ${say(low, '')} to ${say(high, unit)}: median ${say(spread.median, unit)} ± 3 MAD of ${say(spread.mad, unit)}, ${counted.length} trials, ${where}${from}.`,
      });
    }
  }
}

function farFromOwn(trials: readonly RuledTrial[], column: GridColumn, add: Add): void {
  const { name, head, unit } = column;
  const changes = alike(valuesOf(trials, column), ({ trial }) => trial.participant).flatMap((own) => {
    // The swimmer's middle takes in the swim itself: else one that is far off would make the near ones look so.
    const counted = own.filter(({ trial }) => trial.counts).map(({ value }) => value);
    const middle = robust(counted)?.median;
    if (middle === undefined || own.length < 2) return [];
    return own.map(({ index, value, trial }) => {
      return { index, value, middle, away: value - middle, counts: trial.counts };
    });
  });
  const counted = changes.filter(({ counts }) => counts).map(({ away }) => away);
  const spread = counted.length < FEWEST_CHANGES ? null : robust(counted);
  if (spread === null || spread.mad === 0) return;
  for (const { index, value, middle, away } of changes) {
    if (Math.abs(away - spread.median) <= FAR * spread.mad) continue;
    add(index, {
      column: name,
      rule: 'change',
      says: `${head} ${say(value, unit)} differs from the middle of the swimmer’s trials (median ${say(middle, unit)}) by ${say(Math.abs(away), unit)}, more than 3 MAD of ${say(spread.mad, unit)} of ${counted.length} such differences.`,
    });
  }
}
