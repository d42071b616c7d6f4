/**
 * Units and clocks as types: handing one for another does not compile. The compiler itself is the judge: it fails on an
 * expected error that does not come, and this test runs it on what must compile and on what must not.
 */
import ts from 'typescript';
import { expect, it } from 'vitest';

const HEAD = `
import { toTrace, toVideo, type ClockLine } from '../../../core/clock/clock.ts';
import { handForce, pressureDifference, strokeForce } from '../../../core/force/force.ts';
import { lowPassZeroLag } from '../../../core/force/filter.ts';
import { proposePropulsion, type PropulsionRule } from '../../../core/force/propulsion.ts';
import { isInSection, type Section } from '../../../core/stroke/stroke.ts';
import type { SampledTrace } from '../../../core/force/trace.ts';
import type { Calibration, ZeroLine } from '../../../core/sensor/calibration.ts';
import type { FilmS, KpaSeries, NewtonSeries, RawSeries, TraceS } from '../../../core/base/units.ts';
declare const raw: RawSeries, kpa: KpaSeries, newton: NewtonSeries;
declare const traceS: TraceS, filmS: FilmS, line: ClockLine, section: Section, rule: PropulsionRule;
declare const zero: ZeroLine, calibration: Calibration, trace: SampledTrace;
`;
const NAME = 'test/core/base/snippet.ts';

/** What the compiler says against some lines, by their number; the project's own settings hold. */
function faultsOf(lines: readonly string[]): ReadonlySet<number> {
  const { config } = ts.readConfigFile('tsconfig.json', ts.sys.readFile);
  const { options } = ts.parseJsonConfigFileContent({ ...config, files: [], include: [] }, ts.sys, '.');
  const host = ts.createCompilerHost(options);
  const text = HEAD + lines.join('\n');
  const { getSourceFile, fileExists } = host;
  host.fileExists = (name) => name.endsWith(NAME) || fileExists(name);
  host.getSourceFile = (name, ...rest) =>
    name.endsWith(NAME)
      ? ts.createSourceFile(name, text, ts.ScriptTarget.ES2024)
      : getSourceFile(name, ...rest);
  const program = ts.createProgram([NAME], { ...options, noUnusedLocals: false }, host);
  const source = program.getSourceFile(NAME)!;
  const first = HEAD.split('\n').length - 1;
  const found = [...program.getSyntacticDiagnostics(source), ...program.getSemanticDiagnostics(source)].map(
    ({ start }) => source.getLineAndCharacterOfPosition(start!).line - first,
  );
  return new Set(found);
}

const ALLOWED = [
  'handForce(kpa, 140);',
  'toTrace(line, filmS);',
  'toVideo(line, toTrace(line, filmS));',
  'toTrace(line, 1.5);',
  'isInSection(traceS, section);',
  'strokeForce(newton, trace, traceS, section.endS);',
  'proposePropulsion(newton, trace, rule);',
  'const kept: KpaSeries = lowPassZeroLag(kpa, 100, 2, 10) as KpaSeries;',
  'const read: RawSeries = new Float64Array(10);',
  'const later: TraceS = traceS + 0.1;',
];
const REFUSED = [
  'handForce(raw, 140);',
  'handForce(newton, 140);',
  'pressureDifference(kpa, 100, zero, calibration, { kind: "none" });',
  'pressureDifference(newton, 100, zero, calibration, { kind: "none" });',
  'strokeForce(kpa, trace, traceS, traceS);',
  'strokeForce(raw, trace, traceS, traceS);',
  'strokeForce(newton, trace, filmS, filmS);',
  'proposePropulsion(raw, trace, rule);',
  'toTrace(line, traceS);',
  'toVideo(line, filmS);',
  'toTrace(line, toTrace(line, filmS));',
  'isInSection(filmS, section);',
  'isInSection(toVideo(line, traceS), section);',
  'const wrong: RawSeries = lowPassZeroLag(kpa, 100, 2, 10) as Exclude<ReturnType<typeof lowPassZeroLag<KpaSeries>>, string>;',
  'const back: RawSeries = handForce(kpa, 140);',
];

it('what belongs together compiles, and what does not does not', () => {
  const faults = faultsOf([...ALLOWED, ...REFUSED]);
  expect(ALLOWED.filter((_, k) => faults.has(k))).toEqual([]);
  expect(REFUSED.filter((_, k) => !faults.has(ALLOWED.length + k))).toEqual([]);
});
