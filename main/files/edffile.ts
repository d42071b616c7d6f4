/**
 * Writes a trial as EDF+C with annotations. Sources: Kemp et al. 1992, Electroencephalogr Clin Neurophysiol 82:391–393
 * (EDF: header, records, 16-bit samples); Kemp & Olivan 2003, Clin Neurophysiol 114:1755–1761 (EDF+: patient and
 * recording fields, time-stamped annotation lists).
 *
 * A value is kept to at most the signal's range / 65,535. Missing samples, which the format cannot say, lie on a straight
 * line between their neighbours and are annotated. Time 0 is the first sample.
 */
import { largest, smallest } from '../../core/base/extent.ts';
import {
  missingStretches,
  type RecordingChannel,
  type TrialRecording,
} from '../../core/dataset/recording.ts';

const [LOWEST, HIGHEST] = [-32768, 32767];
/** A record of the format holds at most this many bytes. */
const MOST_RECORD = 61_440;
/** A record is about this long, s. */
const RECORD_S = 1;

const LABELS = {
  left_raw: 'Raw left',
  right_raw: 'Raw right',
  left_force_n: 'Force left',
  right_force_n: 'Force right',
} as const;

/** The bytes of the file. */
export function edfFile(recording: TrialRecording): Uint8Array {
  const { channels, rateHz } = recording;
  const signals = channels.map(signalOf);
  const count = channels[0]?.values.length ?? 0;
  const record = recordOf(rateHz, signals.length);
  const records = Math.max(1, Math.ceil(count / record.samples));
  const lists = annotationLists(recording, records, record.durationS);
  const width = lists[0]!.length;
  const parts = [headerOf(recording, signals, record, records, width / 2)];
  for (let k = 0; k < records; k++) {
    for (const { digital } of signals) parts.push(samplesOf(digital, k * record.samples, record.samples));
    parts.push(lists[k]!);
  }
  return Buffer.concat(parts);
}

interface Signal {
  readonly label: string;
  readonly unit: string;
  readonly physical: readonly [string, string];
  readonly digital: Int16Array;
}

function signalOf({ name, unit, values }: RecordingChannel): Signal {
  const filled = withoutGaps(values);
  const [low, high] = filled.length === 0 ? [0, 1] : [smallest(filled), largest(filled)];
  const physical = [outside(low, -1), outside(high > low ? high : low + 1, 1)] as const;
  const [from, to] = [Number(physical[0]), Number(physical[1])];
  const digital = Int16Array.from(filled, (value) => {
    const at = LOWEST + ((value - from) / (to - from)) * (HIGHEST - LOWEST);
    return Math.min(HIGHEST, Math.max(LOWEST, Math.round(at)));
  });
  return { label: LABELS[name], unit, physical, digital };
}

/** Samples that are missing put on straight lines between their neighbours; at the ends the nearest. */
function withoutGaps(values: Float64Array): Float64Array {
  const filled = Float64Array.from(values);
  for (const { first, last } of missingStretches(values)) {
    const [before, after] = [first > 0 ? values[first - 1]! : null, values[last + 1] ?? null];
    for (let k = first; k <= last; k++) {
      const part = (k - first + 1) / (last - first + 2);
      const [from, to] = [before ?? after ?? 0, after ?? before ?? 0];
      filled[k] = from + (to - from) * part;
    }
  }
  return filled;
}

/** A number in eight characters that lies at or beyond a value: below it for `side` −1, above it for 1. */
function outside(value: number, side: -1 | 1): string {
  for (let decimals = 6; decimals >= 0; decimals--) {
    const scale = 10 ** decimals;
    const at = side < 0 ? Math.floor(value * scale) / scale : Math.ceil(value * scale) / scale;
    const text = at.toFixed(decimals);
    if (text.length <= 8) return text;
  }
  return side < 0 ? '-9999999' : '99999999';
}

interface RecordSize {
  readonly samples: number;
  readonly durationS: number;
  /** The duration as the header has it, eight characters. */
  readonly text: string;
}

/**
 * How many samples a record holds and how long it is: the header has eight characters for the duration, so of the
 * lengths around a second the one is taken whose duration can be written best.
 */
function recordOf(rateHz: number, signals: number): RecordSize {
  const most = Math.min(
    Math.floor((MOST_RECORD / 2 - 1000) / Math.max(1, signals)),
    Math.ceil(2 * RECORD_S * rateHz),
  );
  let best: RecordSize | null = null;
  let least = Infinity;
  const usual = Math.max(1, Math.min(most, Math.round(RECORD_S * rateHz)));
  for (let step = 0; step <= most; step++)
    for (const samples of [usual + step, usual - step]) {
      if (samples < 1 || samples > most) continue;
      const durationS = samples / rateHz;
      const text = durationText(durationS);
      const error = Math.abs(Number(text) / durationS - 1);
      if (error >= least) continue;
      least = error;
      best = { samples, durationS: Number(text), text };
    }
  return best ?? { samples: 1, durationS: 1 / rateHz, text: durationText(1 / rateHz) };
}

function durationText(durationS: number): string {
  for (let decimals = 7; decimals > 0; decimals--) {
    const text = durationS.toFixed(decimals);
    if (text.length <= 8) return String(Number(text)).length <= 8 ? String(Number(text)) : text;
  }
  return durationS.toFixed(0);
}

function samplesOf(digital: Int16Array, from: number, count: number): Buffer {
  const bytes = Buffer.alloc(2 * count);
  const last = digital.at(-1) ?? 0;
  for (let k = 0; k < count; k++) bytes.writeInt16LE(digital[from + k] ?? last, 2 * k);
  return bytes;
}

/** The annotations of each record, all of one length: when the record begins, then what is said. */
function annotationLists(recording: TrialRecording, records: number, durationS: number): readonly Buffer[] {
  const said = annotationsOf(recording).map((text) => Buffer.from(text, 'utf8'));
  const begins = Array.from({ length: records }, (_, k) =>
    Buffer.from(`${onset(k * durationS)}\u0014\u0014\0`, 'utf8'),
  );
  const total = said.reduce((sum, { length }) => sum + length, 0);
  const longest = largest([...said.map(({ length }) => length), 0]);
  const room = Math.ceil(total / records) + longest;
  const width = 2 * Math.ceil((largest(begins.map(({ length }) => length)) + room) / 2);
  let next = 0;
  return begins.map((begin) => {
    const bytes = Buffer.alloc(width);
    begin.copy(bytes);
    let at = begin.length;
    while (next < said.length && at + said[next]!.length <= width) {
      said[next]!.copy(bytes, at);
      at += said[next]!.length;
      next += 1;
    }
    return bytes;
  });
}

/** Time-stamped lists: events, stretches of missing samples, and where the samples end. */
function annotationsOf({ events, channels, startS, rateHz }: TrialRecording): readonly string[] {
  const at = (timeS: number, text: string, lastsS?: number) =>
    `${onset(timeS)}${lastsS === undefined ? '' : `\u0015${decimal(lastsS)}`}\u0014${text}\u0014\0`;
  const count = channels[0]?.values.length ?? 0;
  return [
    ...events.map(({ timeS, hand, stroke, event }) => at(timeS - startS, `${event} ${hand} ${stroke}`)),
    ...channels.flatMap(({ name, values }) =>
      missingStretches(values).map(({ first, last }) =>
        at(first / rateHz, `missing ${name}`, (last - first + 1) / rateHz),
      ),
    ),
    at((count - 1) / rateHz, 'last sample'),
  ];
}

function decimal(value: number): string {
  return String(Number(value.toFixed(6)));
}

function onset(timeS: number): string {
  const text = decimal(timeS);
  return text.startsWith('-') ? text : `+${text}`;
}

const MONTHS = ['JAN', 'FEB', 'MAR', 'APR', 'MAY', 'JUN', 'JUL', 'AUG', 'SEP', 'OCT', 'NOV', 'DEC'];

function headerOf(
  { date, trial, participant }: TrialRecording,
  signals: readonly Signal[],
  record: RecordSize,
  records: number,
  annotationSamples: number,
): Buffer {
  const [, year, month, dayOf] = /^(\d{4})-(\d{2})-(\d{2})$/.exec(date ?? '') ?? [];
  const started = year === undefined ? 'X' : `${dayOf}-${MONTHS[Number(month) - 1]}-${year}`;
  const all = [
    ...signals.map(({ label, unit, physical }) => ({
      label,
      unit,
      physical,
      samples: record.samples,
    })),
    { label: 'EDF Annotations', unit: '', physical: ['-1', '1'] as const, samples: annotationSamples },
  ];
  const text = [
    field('0', 8),
    field(`${participant} X X X`, 80),
    field(`Startdate ${started} ${trial} X Lanebench`, 80),
    field(year === undefined ? '01.01.85' : `${dayOf}.${month}.${year.slice(2)}`, 8),
    field('00.00.00', 8),
    field(String(256 * (all.length + 1)), 8),
    field('EDF+C', 44),
    field(String(records), 8),
    field(record.text, 8),
    field(String(all.length), 4),
    ...all.map(({ label }) => field(label, 16)),
    ...all.map(() => field('', 80)),
    ...all.map(({ unit }) => field(unit, 8)),
    ...all.map(({ physical }) => field(physical[0], 8)),
    ...all.map(({ physical }) => field(physical[1], 8)),
    ...all.map(() => field(String(LOWEST), 8)),
    ...all.map(() => field(String(HIGHEST), 8)),
    ...all.map(() => field('', 80)),
    ...all.map(({ samples }) => field(String(samples), 8)),
    ...all.map(() => field('', 32)),
  ];
  return Buffer.from(text.join(''), 'ascii');
}

/** A text of the header: printable US-ASCII, to the left, spaces after it. */
function field(text: string, length: number): string {
  return text
    .replaceAll(/[^ -~]/g, '?')
    .slice(0, length)
    .padEnd(length);
}
