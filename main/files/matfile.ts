/**
 * Writes a trial as a MATLAB level 5 MAT-file, uncompressed. Source: "MAT-File Format" (The MathWorks), chapter 1, level
 * 5: header, data elements, array subelements. Numbers are doubles, text is UTF-16.
 */
import type { TrialRecording } from '../../core/dataset/recording.ts';

/** What a variable holds: a column of numbers, a text, a column of texts, or named parts. */
type Value = Float64Array | string | readonly string[] | { readonly [field: string]: Value };

/** Data types of elements. */
const MI = { int8: 1, uint16: 4, int32: 5, uint32: 6, double: 9, matrix: 14 } as const;
/** Classes of arrays. */
const MX = { cell: 1, struct: 2, char: 4, double: 6 } as const;
/** Field names of a struct take this many bytes each, with a zero at the end. */
const FIELD_BYTES = 32;

/** The bytes of the file: the samples as columns, their units, the events, and what the trial is. */
export function matlabFile(recording: TrialRecording): Uint8Array {
  const { channels, events, startS, rateHz } = recording;
  const count = channels[0]?.values.length ?? 0;
  const columns = channels.map(({ name, values }) => [name, values] as const);
  const variables: readonly (readonly [string, Value])[] = [
    ['time_s', Float64Array.from({ length: count }, (_, k) => startS + k / rateHz)],
    ...columns,
    [
      'units',
      Object.fromEntries([['time_s', 's'], ...channels.map(({ name, unit }) => [name, unit] as const)]),
    ],
    [
      'events',
      {
        time_s: Float64Array.from(events, ({ timeS }) => timeS),
        hand: events.map(({ hand }) => hand),
        stroke: Float64Array.from(events, ({ stroke }) => stroke),
        event: events.map(({ event }) => event),
      },
    ],
    [
      'trial',
      {
        day: recording.day,
        date: recording.date ?? '',
        trial: recording.trial,
        participant: recording.participant,
        rate_hz: Float64Array.of(rateHz),
        program: `lanebench ${recording.version}`,
      },
    ],
  ];
  return Buffer.concat([header(), ...variables.map(([name, value]) => matrix(name, value))]);
}

function header(): Buffer {
  const bytes = Buffer.alloc(128, ' ');
  bytes.write('MATLAB 5.0 MAT-file, written by Lanebench', 'ascii');
  bytes.fill(0, 116, 124);
  bytes.writeUInt16LE(0x0100, 124);
  bytes.write('IM', 126, 'ascii');
  return bytes;
}

/** A data element: its type and length, its data, and zeros up to a multiple of eight bytes. */
function element(type: number, data: Uint8Array): Buffer {
  const bytes = Buffer.alloc(8 + Math.ceil(data.length / 8) * 8);
  bytes.writeUInt32LE(type, 0);
  bytes.writeUInt32LE(data.length, 4);
  bytes.set(data, 8);
  return bytes;
}

function matrix(name: string, value: Value): Buffer {
  const { kind, dimensions, parts } = contentOf(value);
  const flags = Buffer.alloc(8);
  flags.writeUInt32LE(kind, 0);
  const size = Buffer.alloc(8);
  dimensions.forEach((length, k) => size.writeInt32LE(length, 4 * k));
  // Elements within a matrix are padded each, so the whole is a multiple of eight.
  return element(
    MI.matrix,
    Buffer.concat([
      element(MI.uint32, flags),
      element(MI.int32, size),
      element(MI.int8, Buffer.from(name, 'ascii')),
      ...parts,
    ]),
  );
}

interface Content {
  readonly kind: number;
  readonly dimensions: readonly [number, number];
  readonly parts: readonly Buffer[];
}

function contentOf(value: Value): Content {
  if (typeof value === 'string')
    return {
      kind: MX.char,
      dimensions: [value === '' ? 0 : 1, value.length],
      parts: [element(MI.uint16, Buffer.from(value, 'utf16le'))],
    };
  if (value instanceof Float64Array)
    return { kind: MX.double, dimensions: [value.length, 1], parts: [element(MI.double, doubles(value))] };
  if (isTexts(value))
    return { kind: MX.cell, dimensions: [value.length, 1], parts: value.map((text) => matrix('', text)) };
  const fields = Object.entries(value);
  const width = Buffer.alloc(4);
  width.writeInt32LE(FIELD_BYTES, 0);
  const names = Buffer.alloc(FIELD_BYTES * fields.length);
  fields.forEach(([field], k) => names.write(field, FIELD_BYTES * k, FIELD_BYTES - 1, 'ascii'));
  return {
    kind: MX.struct,
    dimensions: [1, 1],
    parts: [element(MI.int32, width), element(MI.int8, names), ...fields.map(([, part]) => matrix('', part))],
  };
}

function isTexts(value: Value): value is readonly string[] {
  return Array.isArray(value);
}

function doubles(values: Float64Array): Buffer {
  const bytes = Buffer.alloc(8 * values.length);
  values.forEach((value, k) => bytes.writeDoubleLE(value, 8 * k));
  return bytes;
}
