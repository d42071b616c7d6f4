/**
 * A testing day as its day.json tells it. A field that breaks a rule is refused alone and taken as not given;
 * only a file that is no day at all is refused whole. Contract: formats.md section 1.
 */
import type { Hand } from '../base/hand.ts';
import { type Protocol, type AcceptanceLimits, DEFAULT_TAP_OFFSET_MM } from '../protocol/protocol.ts';
import { z } from 'zod';
import '../base/schemawords.ts';
import { quoted } from '../base/plaintext.ts';
import { code, finite, hand, notNegative, positive } from '../base/codes.ts';
import { MAIN_CAMERA } from '../clock/clock.ts';
import { jsonFaultSays } from '../base/jsonfault.ts';
import { toElsewhere, type Elsewhere } from './elsewhere.ts';
import { type Refusal, type Outcome, failed, done } from '../base/refusal.ts';
import type { FilterChoice } from '../force/filter.ts';

export interface Pool {
  readonly lengthM: number | null;
  readonly waterTemperatureC: number | null;
  readonly latitudeDeg: number | null;
  readonly altitudeM: number | null;
}

export interface Camera {
  readonly camera: string;
  readonly frameRateHz: number | null;
}

export interface Sensor {
  readonly sensor: string;
  readonly hand: Hand | null;
  /** Full scale, kPa. */
  readonly rangeKpa: number | null;
  readonly rawUnit: string | null;
  readonly rawMin: number | null;
  readonly rawMax: number | null;
}

/** Where the time of a sample comes from: a column of the file, or a known rate. */
export type TimeSource =
  | { readonly kind: 'column'; readonly column: string; readonly unit: 's' | 'ms' | 'us' }
  | { readonly kind: 'rate'; readonly rateHz: number };

export interface HandColumn {
  readonly column: string;
  readonly sensor: string | null;
  /** What the column holds where it was calibrated elsewhere; null where it holds the sensor's raw readings. */
  readonly elsewhere: Elsewhere | null;
}

export interface TraceColumns {
  readonly time: TimeSource | null;
  readonly left: HandColumn | null;
  readonly right: HandColumn | null;
}

export interface Day {
  readonly day: string;
  readonly date: string | null;
  readonly venue: string | null;
  readonly pool: Pool;
  readonly protocol: Protocol;
  readonly cameras: readonly Camera[];
  readonly sensors: readonly Sensor[];
  readonly traceColumns: TraceColumns;
}

export const DAY_FORMAT = 'lanebench-day/1';

const FILE = 'day.json';

const filter = z.union(
  [
    z.object({ kind: z.literal('none') }),
    z.object({
      kind: z.literal('butterworth'),
      order: z.number().int().min(1).max(10),
      cutoff_hz: z.number().positive(),
    }),
  ],
  'takes { "kind": "none" } or { "kind": "butterworth", "order": 1 to 10, "cutoff_hz": above 0 }',
);

const time = z.union(
  [
    z.object({ column: z.string().min(1), unit: z.enum(['s', 'ms', 'us']) }),
    z.object({ rate_hz: z.number().positive() }),
  ],
  'takes { "column": "…", "unit": "s", "ms" or "us" } or { "rate_hz": above 0 }',
);

const handColumn = z.looseObject({ column: z.string().min(1), sensor: z.unknown().optional() });

/** Sensors and cameras that a day may name: more than a lab owns. */
const MOST_ENTRIES = 200;

/** A wrong value as JSON writes it, cut where it is long. */
function written(value: unknown): string {
  const text = JSON.stringify(value);
  return typeof value === 'string' ? quoted(value) : text.length <= 60 ? text : `${text.slice(0, 60)}…`;
}

/** Walks into plain JSON, noting a refusal wherever a field breaks its rule. */
class Fields {
  readonly refused: Refusal[] = [];
  private readonly root: unknown;

  constructor(root: unknown) {
    this.root = root;
  }

  refuse(path: string, says: string): void {
    const reason = `${path} ${says}; it was taken as not given. Correct it in ${FILE} and open the day again.`;
    this.refused.push({ file: FILE, line: null, field: path, reason });
  }

  raw(path: string): unknown {
    let at: unknown = this.root;
    for (const key of path.split('.')) {
      if (typeof at !== 'object' || at === null) return undefined;
      at = (at as Record<string, unknown>)[key];
    }
    return at ?? undefined;
  }

  read<T>(path: string, schema: z.ZodType<T>): T | null {
    return this.parse(path, this.raw(path), schema);
  }

  list(path: string): readonly unknown[] {
    const value = this.raw(path);
    if (value === undefined) return [];
    if (Array.isArray(value)) return value;
    this.refuse(path, `is ${written(value)} and takes a list`);
    return [];
  }

  parse<T>(path: string, value: unknown, schema: z.ZodType<T>): T | null {
    if (value === undefined || value === null) return null;
    const outcome = schema.safeParse(value);
    if (outcome.success) return outcome.data;
    const issue = outcome.error.issues[0];
    const inside = issue?.path ?? [];
    const wrong = inside.reduce<unknown>(
      (at, key) => (at as Record<PropertyKey, unknown> | null)?.[key],
      value,
    );
    const is = wrong === undefined ? 'is missing' : `is ${written(wrong)}`;
    this.refuse([path, ...inside].join('.'), `${is} and ${issue?.message ?? 'cannot be read'}`);
    return null;
  }
}

/**
 * Reads the JSON text of day.json.
 * Fails with one sentence where the text is no day: not JSON, another format, no day code.
 */
export function readDay(
  jsonText: string,
): Outcome<{ readonly day: Day; readonly refused: readonly Refusal[] }, Refusal> {
  const whole = (field: string | null, reason: string) => failed({ file: FILE, line: null, field, reason });
  let root: unknown;
  try {
    root = JSON.parse(jsonText);
  } catch (error) {
    return whole(null, `day.json is not JSON: ${jsonFaultSays(error)}; correct it and open the day again.`);
  }
  const fields = new Fields(root);
  const format = fields.raw('format');
  if (format !== DAY_FORMAT)
    return whole(
      'format',
      `day.json has the format ${JSON.stringify(format ?? null)}; this program reads "${DAY_FORMAT}".`,
    );
  const dayCode = code.safeParse(fields.raw('day'));
  if (!dayCode.success) return whole('day', `day in day.json takes a code of A–Z a–z 0–9 _ . -.`);
  const pool: Pool = {
    lengthM: fields.read('pool.length_m', positive),
    waterTemperatureC: fields.read('pool.water_temperature_c', finite),
    latitudeDeg: fields.read('pool.latitude_deg', finite.min(-90).max(90)),
    altitudeM: fields.read('pool.altitude_m', finite),
  };
  const day: Day = {
    day: dayCode.data,
    date: fields.read('date', z.iso.date('takes a date such as 2026-03-14')),
    venue: fields.read('venue', z.string('takes text')),
    pool,
    protocol: readProtocol(fields),
    cameras: unique(fields, 'cameras', 'camera', readCamera),
    sensors: unique(fields, 'sensors', 'sensor', readSensor),
    traceColumns: readTraceColumns(fields, pool),
  };
  return done({ day, refused: fields.refused });
}

function readProtocol(fields: Fields): Protocol {
  const at = (name: string) => `protocol.${name}`;
  const point = z.enum(['head', 'hip', 'hand'], 'takes head, hip or hand');
  const section = fields.read(
    at('section_from_wall_m'),
    z.tuple([notNegative, notNegative], 'takes two distances from the finishing wall in m, start first'),
  );
  const chosen = fields.read(at('filter'), filter);
  return {
    name: fields.read(at('name'), z.string()),
    stroke: fields.read(at('stroke'), z.string()),
    runM: fields.read(at('run_m'), positive),
    sectionFromWallM: section,
    sectionUM: fields.read(at('section_u_m'), notNegative),
    sectionPoints: {
      start: fields.read(at('section_points.start'), point),
      end: fields.read(at('section_points.end'), point),
    },
    attempts: fields.read(at('attempts'), z.number().int().positive()),
    restMinS: fields.read(at('rest_min_s'), notNegative),
    markingUS: fields.read(at('marking_u_s'), notNegative),
    tapOffsetMm: fields.read(at('tap_offset_mm'), notNegative) ?? DEFAULT_TAP_OFFSET_MM,
    speedVariationPct: fields.read(at('speed_variation_pct'), notNegative),
    filter: toFilter(chosen, fields.raw(at('filter')) !== undefined),
    accept: readLimits(fields),
  };
}

function toFilter(chosen: z.infer<typeof filter> | null, given: boolean): FilterChoice {
  if (chosen === null) return { kind: given ? 'unusable' : 'none' };
  if (chosen.kind === 'none') return { kind: 'none' };
  return { kind: 'butterworth', order: chosen.order, cutoffHz: chosen.cutoff_hz };
}

function readLimits(fields: Fields): AcceptanceLimits {
  const at = (name: string) => fields.read(`protocol.accept.${name}`, notNegative);
  return {
    minStrokesPerHand: at('min_strokes_per_hand'),
    maxGapMs: at('max_gap_ms'),
    maxSaturatedFraction: at('max_saturated_fraction'),
    maxZeroShiftKpa: at('max_zero_shift_kpa'),
    maxCheckDeviationKpa: at('max_check_deviation_kpa'),
  };
}

function unique<T extends object>(
  fields: Fields,
  path: string,
  key: keyof T & string,
  read: (fields: Fields, path: string, value: unknown) => T | null,
): T[] {
  const found = new Map<unknown, T>();
  const all = fields.list(path);
  if (all.length > MOST_ENTRIES)
    fields.refuse(
      `${path}.${MOST_ENTRIES}`,
      `to ${path}.${all.length - 1} are more than the ${MOST_ENTRIES} entries that a day takes`,
    );
  all.slice(0, MOST_ENTRIES).forEach((value, index) => {
    const where = `${path}.${index}`;
    const entry = read(fields, where, value);
    if (entry === null) return;
    if (found.has(entry[key]))
      fields.refuse(where, `says ${key} ${String(entry[key])} again; the first stays`);
    else found.set(entry[key], entry);
  });
  return [...found.values()];
}

function readCamera(fields: Fields, path: string, value: unknown): Camera | null {
  const schema = z.object({ camera: code.nullish(), frame_rate_hz: positive.nullish() }, 'takes a camera');
  const camera = fields.parse(path, value, schema);
  if (camera === null) return null;
  return { camera: camera.camera ?? MAIN_CAMERA, frameRateHz: camera.frame_rate_hz ?? null };
}

function readSensor(fields: Fields, path: string, value: unknown): Sensor | null {
  const sensor = fields.parse(path, value, z.looseObject({ sensor: code }, 'takes a sensor'));
  if (sensor === null) return null;
  const at = <T>(name: string, schema: z.ZodType<T>) => fields.parse(`${path}.${name}`, sensor[name], schema);
  return {
    sensor: sensor.sensor,
    hand: at('hand', hand),
    rangeKpa: at('range_kpa', positive),
    rawUnit: at('raw_unit', z.string('takes text')),
    rawMin: at('raw_min', finite),
    rawMax: at('raw_max', finite),
  };
}

function readTraceColumns(fields: Fields, pool: Pool): TraceColumns {
  const chosen = fields.read('trace_columns.time', time);
  const column = (name: Hand): HandColumn | null => {
    const path = `trace_columns.${name}`;
    const found = fields.read(path, handColumn);
    if (found === null) return null;
    // Read as raw, values of another quantity would give forces that are wrong: the hand is then not given at all.
    const elsewhere = toElsewhere(found, pool);
    if (!elsewhere.ok) {
      fields.refuse(`${path}.${elsewhere.error.field}`, elsewhere.error.says);
      return null;
    }
    const sensor = fields.parse(`${path}.sensor`, found.sensor, code);
    return { column: found.column, sensor, elsewhere: elsewhere.value };
  };
  let source: TimeSource | null = null;
  if (chosen !== null)
    source =
      'rate_hz' in chosen
        ? { kind: 'rate', rateHz: chosen.rate_hz }
        : { kind: 'column', column: chosen.column, unit: chosen.unit };
  return { time: source, left: column('left'), right: column('right') };
}
