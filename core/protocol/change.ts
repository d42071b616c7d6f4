/** What one version of a protocol changes against another, in a person's words. */
import type {
  ColumnHolds,
  ProtocolContent,
  TimingMethod,
  Measure,
  PlannedComparison,
  MarkView,
} from './content.ts';

export interface ProtocolChange {
  /** Where, in words a person knows from the screen. */
  readonly what: string;
  /** Each side in words with its unit; null where that side has nothing. */
  readonly before: string | null;
  readonly after: string | null;
}

/** A part of a protocol in words; null where there is nothing. Different values have different words. */
interface Part {
  readonly what: string;
  readonly says: (content: ProtocolContent) => string | null;
}

const STARTS = { push: 'push from the wall', dive: 'dive', in_water: 'in the water' } as const;

const METHODS: Readonly<Record<TimingMethod, string>> = {
  video: 'film',
  gate: 'gate',
  stopwatch: 'stopwatch',
};

const ORDERS = {
  listed: 'as listed',
  random: 'random from a seed',
  balanced: 'balanced over conditions (Williams design)',
} as const;

const MEASURED: Readonly<Record<Measure, string>> = {
  hand_force: 'hand force',
  stroke_rate: 'stroke rate',
  stroke_length: 'stroke length',
  velocity: 'velocity',
  index_of_coordination: 'index of coordination',
  high_hand: 'high-hand time',
  entry_position: 'entry position',
  breathing: 'breathing',
};

const COMPARED: Readonly<Record<PlannedComparison['kind'], string>> = {
  two_groups: 'two groups',
  paired: 'the same swimmers twice',
};

/** A text as it stands; null where it is empty. */
function text(value: string): string | null {
  return value === '' ? null : value;
}

function quantity(value: number | null, unit: string): string | null {
  return value === null ? null : `${value} ${unit}`;
}

/** Texts that may hold any character, told apart by their quotes. */
function list(values: readonly string[]): string | null {
  return values.length === 0 ? null : values.map((value) => JSON.stringify(value)).join(', ');
}

/** Words that hold no comma. */
function words(values: readonly string[]): string | null {
  return values.length === 0 ? null : values.join(', ');
}

function view(seen: MarkView | null): string | null {
  if (seen === null) return null;
  const { acrossM, alongM, markAcrossM, strayM } = seen;
  return `${acrossM} m across to the swimmer, ${alongM} m along from the mark, ${markAcrossM} m across to the mark, straying up to ${strayM} m`;
}

/** What a column holds in words; null for raw readings. */
function holds(column: ColumnHolds): string | null {
  if (column === null) return null;
  const { quantity: what, unit, scaleUPct, filter } = column;
  const known = scaleUPct === null ? 'uncertainty not stated' : `standard uncertainty ${scaleUPct} %`;
  return `${what} in ${unit}, ${known}, ${filter ? 'filtered here' : 'not filtered here'}`;
}

function compared(comparison: PlannedComparison | null): string | null {
  if (comparison === null) return null;
  const { kind, quantity: what, first, second, difference, sd, alpha, sides } = comparison;
  const swimmers =
    kind === 'paired'
      ? `${first} swimmers (a second group would have ${second})`
      : `${first} and ${second} swimmers`;
  return `${COMPARED[kind]}, ${swimmers}, ${JSON.stringify(what)}, difference ${difference}, SD ${sd}, alpha ${alpha}, ${sides}-sided`;
}

/** The parts of every field: a field that is added to a protocol is missed here by the compiler. */
const PARTS: Readonly<Record<keyof ProtocolContent, readonly Part[]>> = {
  name: [{ what: 'Name', says: ({ name }) => name }],
  stroke: [{ what: 'Stroke', says: ({ stroke }) => stroke }],
  start: [{ what: 'Start', says: ({ start }) => STARTS[start] }],
  poolLengthM: [{ what: 'Pool length', says: ({ poolLengthM }) => `${poolLengthM} m` }],
  runM: [{ what: 'Run', says: ({ runM }) => `${runM} m` }],
  sectionFromWallM: [
    {
      what: 'Measured section',
      says: ({ sectionFromWallM: [begin, end] }) => `${begin} m to ${end} m from the wall`,
    },
  ],
  sectionUM: [
    { what: 'Standard uncertainty of the section’s length', says: ({ sectionUM }) => `${sectionUM} m` },
  ],
  sectionPoints: [
    { what: 'Point timed at the start', says: ({ sectionPoints }) => sectionPoints.start },
    { what: 'Point timed at the end', says: ({ sectionPoints }) => sectionPoints.end },
  ],
  timing: [
    { what: 'Section timed by', says: ({ timing }) => METHODS[timing.method] },
    { what: 'Who times', says: ({ timing }) => text(timing.who) },
    { what: 'Camera that times the section', says: ({ timing }) => timing.camera },
    { what: 'Standard uncertainty of a gate', says: ({ timing }) => `${timing.gateUS} s` },
    { what: 'Standard uncertainty of a stopwatch', says: ({ timing }) => `${timing.stopwatchUS} s` },
    { what: 'View of the start', says: ({ timing }) => view(timing.views.start) },
    { what: 'View of the end', says: ({ timing }) => view(timing.views.end) },
  ],
  attempts: [{ what: 'Attempts', says: ({ attempts }) => `${attempts}` }],
  restMinS: [{ what: 'Least rest', says: ({ restMinS }) => `${restMinS} s` }],
  rateHz: [{ what: 'Sampling rate', says: ({ rateHz }) => `${rateHz} Hz` }],
  cameras: [
    {
      what: 'Cameras',
      says: ({ cameras }) =>
        words(
          cameras.map(
            ({ camera, frameRateHz, sees }) =>
              `${camera} at ${frameRateHz} Hz${sees === '' ? '' : ` (${JSON.stringify(sees)})`}`,
          ),
        ),
    },
  ],
  conditions: [{ what: 'Conditions', says: ({ conditions }) => words(conditions) }],
  order: [{ what: 'Order of trials', says: ({ order }) => ORDERS[order] }],
  accept: [
    {
      what: 'Least strokes per hand',
      says: ({ accept }) => (accept.minStrokesPerHand === null ? null : `${accept.minStrokesPerHand}`),
    },
    { what: 'Longest gap', says: ({ accept }) => quantity(accept.maxGapMs, 'ms') },
    {
      what: 'Most samples at the end of the range',
      says: ({ accept }) =>
        accept.maxSaturatedFraction === null ? null : `${accept.maxSaturatedFraction} of all samples`,
    },
    { what: 'Largest zero shift', says: ({ accept }) => quantity(accept.maxZeroShiftKpa, 'kPa') },
    {
      what: 'Largest deviation of a known pressure',
      says: ({ accept }) => quantity(accept.maxCheckDeviationKpa, 'kPa'),
    },
  ],
  filter: [
    {
      what: 'Filter',
      says: ({ filter }) =>
        filter.kind === 'none'
          ? null
          : `Butterworth, order ${filter.order} each way, cutoff ${filter.cutoffHz} Hz`,
    },
  ],
  markingUS: [{ what: 'Standard uncertainty of placing a mark', says: ({ markingUS }) => `${markingUS} s` }],
  tapOffsetMm: [
    {
      what: 'How far the depths of a hand’s taps may differ',
      says: ({ tapOffsetMm }) => `${tapOffsetMm} mm`,
    },
  ],
  speedVariationPct: [
    {
      what: 'Speed within a stroke cycle, half the range',
      says: ({ speedVariationPct }) => quantity(speedVariationPct, '% of the mean'),
    },
  ],
  measures: [
    { what: 'What is measured', says: ({ measures }) => words(measures.map((one) => MEASURED[one])) },
  ],
  checklists: [],
  consentTextVersion: [
    { what: 'Consent text version', says: ({ consentTextVersion }) => text(consentTextVersion) },
  ],
  expected: [
    { what: 'Expected velocity', says: ({ expected }) => `${expected.velocityMS} m/s` },
    { what: 'Expected stroke length', says: ({ expected }) => `${expected.strokeLengthM} m` },
    { what: 'Expected glide', says: ({ expected }) => `${expected.glideM} m` },
  ],
  files: [
    {
      what: 'Time in a trace',
      says: ({ files: { time } }) =>
        'rateHz' in time
          ? `no column, ${time.rateHz} Hz`
          : `column ${JSON.stringify(time.column)} in ${time.unit === 'us' ? 'µs' : time.unit}`,
    },
    { what: 'Left hand’s column', says: ({ files }) => files.left },
    { what: 'Right hand’s column', says: ({ files }) => files.right },
    { what: 'What the left hand’s column holds', says: ({ files }) => holds(files.leftHolds) },
    { what: 'What the right hand’s column holds', says: ({ files }) => holds(files.rightHolds) },
    { what: 'Names of files', says: ({ files }) => list(files.names) },
  ],
  comparison: [{ what: 'Planned comparison', says: ({ comparison }) => compared(comparison) }],
};

/** Every change of `after` against `before`, in the order of the protocol; none where they are equal. */
export function protocolChanges(before: ProtocolContent, after: ProtocolContent): readonly ProtocolChange[] {
  return (Object.keys(PARTS) as (keyof ProtocolContent)[]).flatMap((field) =>
    field === 'checklists'
      ? [
          ...listChanges('Before the first trial', before.checklists.before, after.checklists.before),
          ...listChanges('At the end of the day', before.checklists.close, after.checklists.close),
        ]
      : PARTS[field].flatMap(({ what, says }) => {
          const [old, made] = [says(before), says(after)];
          return old === made ? [] : [{ what, before: old, after: made }];
        }),
  );
}

/** Lines taken away and added, one by one; where there are none, whether the order changed. */
function listChanges(
  where: string,
  before: readonly string[],
  after: readonly string[],
): readonly ProtocolChange[] {
  const what = `${where}, to tick`;
  const changes = [
    ...without(before, after).map((line) => ({ what, before: line, after: null })),
    ...without(after, before).map((line) => ({ what, before: null, after: line })),
  ];
  if (changes.length > 0 || before.every((line, k) => line === after[k])) return changes;
  return [{ what: `${what}, order`, before: list(before), after: list(after) }];
}

/** Lines of a list beyond those of another, each as often as it is there too often. */
function without(lines: readonly string[], others: readonly string[]): readonly string[] {
  const left = [...others];
  return lines.filter((line) => {
    const found = left.indexOf(line);
    if (found >= 0) left.splice(found, 1);
    return found < 0;
  });
}
