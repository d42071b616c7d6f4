/**
 * What the values of a comparison share, and what its groups do not: a sensitivity, a hand area, a section that moves
 * all values in proportion alike; a sensor or a day that serves one group only. Contract: formats.md section 4, shared_u.
 */
import { grouped, numberIn, type Study, type StudyTable, type StudyTrial } from './study.ts';
import type { Unit } from './units.ts';

type HandName = 'left' | 'right';

/** The hands whose force or impulse a column holds; none for any other column. */
function handsOf(outcome: string): readonly HandName[] {
  const own = /^(?:peak_force|mean_force|impulse)_(left|right)_ns?$/.exec(outcome);
  if (own !== null) return [own[1] as HandName];
  return /^strokes\.(?:peak_force_n|mean_force_n|impulse_ns)$/.test(outcome) ? ['left', 'right'] : [];
}

const OF_SECTION: ReadonlySet<string> = new Set(['velocity_m_s', 'stroke_length_m']);

function cell(table: StudyTable, row: readonly string[], column: string): string {
  const index = table.columns.indexOf(column);
  return index < 0 ? '' : (row[index] ?? '');
}

/** The one value of a list, null where there are several or none. */
function only<T>(values: Iterable<T>): T | null {
  const all = new Set(values);
  return all.size === 1 ? [...all][0]! : null;
}

/** u_S/S where all trials used one sensor on one day; null where they did not, or it is not known. */
function sensitivityPart(
  study: Study,
  trials: readonly StudyTrial[],
  hands: readonly HandName[],
): number | null {
  const table = study.tables.calibrations;
  const day = only(trials.map((trial) => trial.day));
  const sensor = only(
    trials.flatMap((trial) => hands.map((hand) => cell(study.tables.trials, trial.cells, `${hand}_sensor`))),
  );
  if (table === null || day === null || !sensor) return null;
  const row = table.rows.find(
    (own) => cell(table, own, 'day') === day && cell(table, own, 'sensor') === sensor,
  );
  if (row === undefined) return null;
  const s = numberIn(cell(table, row, 'sensitivity_raw_per_kpa'));
  const u = numberIn(cell(table, row, 'sensitivity_u'));
  return s === null || u === null || s === 0 ? null : Math.abs(u / s);
}

/** u_A/A, mean over the participants, where all areas come by one method; null where not, or one is not known. */
function areaPart(study: Study, trials: readonly StudyTrial[], hands: readonly HandName[]): number | null {
  const table = study.tables.participants;
  const used = new Set(trials.map(({ day, participant }) => `${day}/${participant}`));
  const methods = new Set<string>();
  const shares: number[] = [];
  for (const [code] of grouped(trials, ({ participant }) => participant)) {
    const own: number[] = [];
    for (const row of study.people.get(code) ?? []) {
      if (!used.has(`${cell(table, row, 'day')}/${code}`)) continue;
      for (const hand of hands) {
        methods.add(cell(table, row, `${hand}_hand_area_method`));
        const area = numberIn(cell(table, row, `${hand}_hand_area_cm2`));
        const u =
          numberIn(cell(table, row, `${hand}_hand_area_u_cm2`)) ??
          numberIn(cell(table, row, 'hand_area_u_cm2'));
        if (area === null || u === null || area === 0) return null;
        own.push(u / area);
      }
    }
    if (own.length === 0) return null;
    shares.push(own.reduce((sum, share) => sum + share, 0) / own.length);
  }
  const method = only(methods);
  return !method || shares.length === 0
    ? null
    : shares.reduce((sum, share) => sum + share, 0) / shares.length;
}

/** section_u_m / section_m where all trials have one section; null where not, or it is not known. */
function sectionPart(study: Study, trials: readonly StudyTrial[]): number | null {
  const section = only(trials.map((trial) => numberIn(cell(study.tables.trials, trial.cells, 'section_m'))));
  const u = only(trials.map(({ day }) => study.tables.sectionUM.get(day) ?? null));
  return section === null || u === null || section === 0 ? null : u / section;
}

/**
 * The relative standard uncertainty that all compared values share, as √Σ parts²; null where no part holds.
 * @param outcome the column compared
 */
export function sharedPart(study: Study, outcome: string, units: readonly Unit[]): number | null {
  const trials = units.flatMap((unit) => unit.trials);
  const hands = handsOf(outcome);
  const parts =
    hands.length > 0
      ? [sensitivityPart(study, trials, hands), areaPart(study, trials, hands)]
      : OF_SECTION.has(outcome)
        ? [sectionPart(study, trials)]
        : [];
  const held = parts.filter((part) => part !== null);
  return held.length === 0 ? null : held.reduce((sum, part) => Math.hypot(sum, part), 0);
}

/**
 * Which of a sensor and a day serves one group only, where there are two groups or more.
 * @param groupOf the group that a unit is compared under
 */
export function unsharedNotes(
  study: Study,
  outcome: string,
  units: readonly Unit[],
  groupOf: (unit: Unit) => string,
): readonly string[] {
  const groups = new Set(units.map(groupOf));
  if (groups.size < 2) return [];
  const hands = handsOf(outcome);
  const notes: string[] = [];
  const servesOne = (of: (trial: StudyTrial) => readonly string[]) => {
    const served = new Map<string, Set<string>>();
    for (const unit of units)
      for (const trial of unit.trials)
        for (const key of of(trial)) {
          if (key === '') continue;
          const own = served.get(key) ?? new Set();
          served.set(key, own.add(groupOf(unit)));
        }
    return [...served.values()].some((own) => own.size === 1);
  };
  const { trials } = study.tables;
  const worn = hands.length === 0 ? (['left', 'right'] as const) : hands;
  if (servesOne(({ cells }) => worn.map((hand) => cell(trials, cells, `${hand}_sensor`))))
    notes.push('sensors_differ');
  if (servesOne(({ day }) => [day])) notes.push('days_differ');
  return notes;
}
