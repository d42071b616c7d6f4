/** What a new version of a protocol changes: nothing is missed, and nothing is said that did not change. */
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { protocolChanges } from '../../../core/protocol/change.ts';
import {
  MEASURES,
  protocolContent,
  TIMING_METHODS,
  type ProtocolContent,
} from '../../../core/protocol/content.ts';
import { PROTOCOL_STARTERS } from '../../../core/protocol/starters.ts';

const number = fc.double({ min: 0, max: 100, noNaN: true }).map((x) => x + 0);
const positive = fc.double({ min: 0.001, max: 100, noNaN: true });
const code = fc.stringMatching(/^[A-Za-z0-9_.-]{1,4}$/);
const text = fc.string({ maxLength: 6 }).map((s) => s.trim());
const line = fc.string({ minLength: 1, maxLength: 6 }).map((s) => s.trim() || 'x');
const lines = fc.array(line, { maxLength: 4 });
const point = fc.constantFrom('head', 'hip', 'hand');
const whole = (min: number, max: number) => fc.integer({ min, max });
const maybe = <T>(of: fc.Arbitrary<T>) => fc.option(of, { nil: null });
const view = maybe(fc.record({ acrossM: positive, alongM: number, markAcrossM: positive, strayM: number }));

const scaled = { scaleUPct: maybe(number), filter: fc.boolean() };
const holds = fc.oneof(
  fc.record({
    quantity: fc.constant('pressure' as const),
    unit: fc.constantFrom('kPa', 'mbar', 'psi'),
    ...scaled,
  }),
  fc.record({ quantity: fc.constant('force' as const), unit: fc.constantFrom('N', 'lbf'), ...scaled }),
);

/** One arbitrary for each field, so that none is forgotten here either. */
const FIELDS: { readonly [K in keyof ProtocolContent]: fc.Arbitrary<ProtocolContent[K]> } = {
  name: line,
  stroke: line,
  start: fc.constantFrom('push', 'dive', 'in_water'),
  poolLengthM: positive,
  runM: positive,
  sectionFromWallM: fc.tuple(number, number),
  sectionUM: number,
  sectionPoints: fc.record({ start: point, end: point }),
  timing: fc.record({
    method: fc.constantFrom(...TIMING_METHODS),
    who: text,
    camera: maybe(code),
    gateUS: number,
    stopwatchUS: number,
    views: fc.record({ start: view, end: view }),
  }),
  attempts: whole(1, 50),
  restMinS: number,
  rateHz: positive,
  cameras: fc.array(fc.record({ camera: code, frameRateHz: positive, sees: text }), { maxLength: 3 }),
  conditions: fc.array(code, { maxLength: 3 }),
  order: fc.constantFrom('listed', 'random', 'balanced'),
  accept: fc.record({
    minStrokesPerHand: maybe(whole(0, 9)),
    maxGapMs: maybe(number),
    maxSaturatedFraction: maybe(fc.double({ min: 0, max: 1, noNaN: true }).map((x) => x + 0)),
    maxZeroShiftKpa: maybe(number),
    maxCheckDeviationKpa: maybe(number),
  }),
  filter: fc.oneof(
    fc.constant({ kind: 'none' } as const),
    fc.record({ kind: fc.constant('butterworth'), order: whole(1, 10), cutoffHz: positive }),
  ),
  markingUS: number,
  tapOffsetMm: number,
  speedVariationPct: maybe(number),
  measures: fc.subarray([...MEASURES]),
  checklists: fc.record({ before: lines, close: lines }),
  consentTextVersion: text,
  expected: fc.record({ velocityMS: positive, strokeLengthM: positive, glideM: number }),
  files: fc.record({
    time: fc.oneof(
      fc.record({ column: line, unit: fc.constantFrom('s', 'ms', 'us') }),
      fc.record({ rateHz: positive }),
    ),
    left: line,
    right: line,
    leftHolds: maybe(holds),
    rightHolds: maybe(holds),
    names: fc.array(line, { minLength: 1, maxLength: 3 }),
  }),
  comparison: maybe(
    fc.record({
      kind: fc.constantFrom('two_groups', 'paired'),
      quantity: text,
      first: whole(2, 50),
      second: whole(2, 50),
      difference: positive,
      sd: positive,
      alpha: fc.double({ min: 0.001, max: 0.4, noNaN: true }),
      sides: fc.constantFrom('two', 'one'),
    }),
  ),
};
const content = fc.record(FIELDS) as fc.Arbitrary<ProtocolContent>;
const field = fc.constantFrom(...(Object.keys(FIELDS) as (keyof ProtocolContent)[]));

const same = (a: unknown, b: unknown) => JSON.stringify(a) === JSON.stringify(b);

/** Every path to a value that is no object. */
function leaves(value: unknown, path: readonly string[] = []): readonly (readonly string[])[] {
  if (typeof value !== 'object' || value === null) return [path];
  return Object.entries(value).flatMap(([key, below]) => leaves(below, [...path, key]));
}

/** The content with one leaf taken from another content, where that has it. */
function graft(value: unknown, from: unknown, [key, ...path]: readonly string[]): unknown {
  if (key === undefined || typeof value !== 'object' || value === null) return from;
  const below = (from as Record<string, unknown>)[key];
  const made = graft((value as Record<string, unknown>)[key], below, path);
  if (Array.isArray(value)) return value.map((one, k) => (String(k) === key ? made : one));
  return { ...value, [key]: made };
}

describe('changes of a protocol', () => {
  test('are none if and only if the two are equal, whichever field is exchanged', () => {
    fc.assert(
      fc.property(content, content, field, (before, other, changed) => {
        const after = { ...before, [changed]: other[changed] };
        expect(protocolChanges(before, after).length === 0).toBe(same(before, after));
      }),
      { numRuns: 600 },
    );
  });

  test('are seen down to every single value', () => {
    fc.assert(
      fc.property(content, content, fc.nat(), (before, other, pick) => {
        const paths = leaves(before).filter((path) => {
          let there: unknown = other;
          for (const key of path)
            there =
              typeof there === 'object' && there !== null && Object.hasOwn(there, key)
                ? (there as Record<string, unknown>)[key]
                : undefined;
          return there !== undefined;
        });
        const after = protocolContent.safeParse(graft(before, other, paths[pick % paths.length]!));
        fc.pre(after.success);
        expect(protocolChanges(before, after.data!).length === 0).toBe(same(before, after.data));
      }),
      { numRuns: 600 },
    );
  });

  test('have two sides that differ, and turn round with the versions', () => {
    fc.assert(
      fc.property(content, content, (before, after) => {
        const forth = protocolChanges(before, after);
        for (const one of forth) expect(one.before).not.toBe(one.after);
        const key = (what: string, a: string | null, b: string | null) => JSON.stringify([what, a, b]);
        expect(
          protocolChanges(after, before)
            .map((one) => key(one.what, one.after, one.before))
            .toSorted(),
        ).toEqual(forth.map((one) => key(one.what, one.before, one.after)).toSorted());
      }),
    );
  });

  test('are in words with units', () => {
    const before = PROTOCOL_STARTERS.find(({ code }) => code === 'sprint-to-wall')!.content;
    const after: ProtocolContent = {
      ...before,
      start: 'push',
      sectionFromWallM: [12, 2],
      conditions: ['usual', 'paddles'],
      accept: { ...before.accept, maxGapMs: null },
      filter: { kind: 'none' },
      checklists: { ...before.checklists, close: [...before.checklists.close, 'Towels counted'] },
      comparison: {
        kind: 'paired',
        quantity: 'velocity, m/s',
        first: 12,
        second: 12,
        difference: 0.05,
        sd: 0.05,
        alpha: 0.05,
        sides: 'two',
      },
    };
    expect(protocolChanges(before, after)).toEqual([
      { what: 'Start', before: 'in the water', after: 'push from the wall' },
      { what: 'Measured section', before: '10 m to 0 m from the wall', after: '12 m to 2 m from the wall' },
      { what: 'Conditions', before: null, after: 'usual, paddles' },
      { what: 'Longest gap', before: '20 ms', after: null },
      { what: 'Filter', before: 'Butterworth, order 2 each way, cutoff 12 Hz', after: null },
      { what: 'At the end of the day, to tick', before: null, after: 'Towels counted' },
      {
        what: 'Planned comparison',
        before: null,
        after:
          'the same swimmers twice, 12 swimmers (a second group would have 12), "velocity, m/s", difference 0.05, SD 0.05, alpha 0.05, two-sided',
      },
    ]);
  });

  test('of a checklist that is only in another order', () => {
    const before = PROTOCOL_STARTERS.find(({ code }) => code === 'sprint-to-wall')!.content;
    const lists = { ...before.checklists, before: before.checklists.before.toReversed() };
    expect(protocolChanges(before, { ...before, checklists: lists }).map(({ what }) => what)).toEqual([
      'Before the first trial, to tick, order',
    ]);
  });
});
