/**
 * Small changes of the science that the tests must see. Each stands in its file exactly once; `tests` are those that
 * are to fail with it, the nearest ones first.
 */
export interface Change {
  /** Below core/. */
  readonly file: string;
  readonly find: string;
  readonly put: string;
  /** Below test/, files or folders. */
  readonly tests: readonly string[];
}

/** Changes of one file that the same tests are to see. */
function of(
  file: string,
  tests: readonly string[],
  ...changes: readonly (readonly [find: string, put: string])[]
): readonly Change[] {
  return changes.map(([find, put]) => ({ file, find, put, tests }));
}

export const CHANGES: readonly Change[] = [
  ...of(
    'base/statistics.ts',
    ['reference/nist.test.ts', 'reference/gum-line.test.ts', 'reference/budget.test.ts', 'core/base'],
    ['Math.sqrt(ssr / (n - 2))', 'Math.sqrt(ssr / (n - 1))'],
    ['correlation: -meanX /', 'correlation: meanX /'],
    ['Math.sqrt(1 / n + meanX ** 2 / sxx)', 'Math.sqrt(meanX ** 2 / sxx)'],
    ['return Math.sqrt(squares / (n - 1));', 'return Math.sqrt(squares / n);'],
    ['studentQuantile((1 + probability) / 2,', 'studentQuantile(probability,'],
    ['sum + u ** 4 / degreesOfFreedom', 'sum + u ** 2 / degreesOfFreedom'],
    ['Math.floor(effective * (1 + 1e-9))', 'Math.round(effective * (1 + 1e-9))'],
  ),
  ...of(
    'sensor/budget.ts',
    ['core/sensor/budget.test.ts', 'reference/budget.test.ts'],
    [
      'smallest(members.map((i) => inputs[i]!.degreesOfFreedom))',
      'largest(members.map((i) => inputs[i]!.degreesOfFreedom))',
    ],
    ['(i === j ? 1 : i + j === 1 ? correlation : 0)', '(i === j ? 1 : i + j === 1 ? -correlation : 0)'],
    ['(i === j ? 1 : i + j === 1 ? correlation : 0)', '(i === j ? 1 : 0)'],
    ['inputs[i]!.scatter === inputs[j]!.scatter', 'false'],
    ['expanded: coverageFactor * u,', 'expanded: u,'],
    ['coefficient: forceN / areaCm2', 'coefficient: forceN'],
    ['(2 * step)\n', 'step\n'],
  ),
  ...of(
    'sensor/choice.ts',
    ['core/sensor/choice.test.ts', 'core/sensor/budget.test.ts'],
    ['a === null ? null : (1 - part) * a', 'a'],
    ['Math.sqrt((part * (1 - part)) / 3)', 'Math.sqrt(part * (1 - part))'],
    ['sensitivityU: rootSumSquares([fitsU, pathU])', 'sensitivityU: fitsU'],
    ['sensitivityU ** 2 - referenceU ** 2', 'sensitivityU ** 2'],
    ['atMs < trial.dayStartMs', 'atMs <= trial.atMs'],
  ),
  ...of(
    'day/overlay.ts',
    ['core/day/overlaid.test.ts'],
    ['return from[0]!.correlation;', 'return from[0]!.line.correlation;'],
    ['(k === 0 ? 1 - part : part) ** 2 * correlation', '(k === 0 ? 1 - part : part) * correlation'],
  ),
  ...of(
    'sensor/drift.ts',
    ['core/sensor/drift.test.ts', 'core/sensor/budget.test.ts'],
    ['effectiveCoverageFactor(COVERAGE, line.n - 2)', 'effectiveCoverageFactor(COVERAGE, line.n - 1)'],
    ['/ Math.abs(centre) / years[1]!', '/ Math.abs(centre)'],
    ['LEAST_DAYS * MS_PER_DAY) return', '0 * MS_PER_DAY) return'],
    ['Math.abs(slope) <= expanded)', 'Math.abs(slope) <= 0)'],
  ),
  ...of(
    'sensor/verdict.ts',
    ['core/sensor/verdict.test.ts', 'core/sensor/metrology.test.ts', 'core/sensor/extent.test.ts'],
    ['(100 * sensitivity.expanded) /', '(100 * sensitivity.u!) /'],
    ['if (assessment.sensitivity.value < 0)', 'if (assessment.sensitivity.value < -Infinity)'],
    ['const held = Math.abs(value) <= bound;', 'const held = value <= bound;'],
  ),
  ...of(
    'sensor/extent.ts',
    ['core/sensor/extent.test.ts'],
    ['const FEWEST_PRESSURES = 3;', 'const FEWEST_PRESSURES = 2;'],
    ['Math.max(largestKpa, Math.abs(appliedKpa))', 'Math.max(largestKpa, appliedKpa)'],
    ['sharedKpa === 0 && scale === 0 && perPointKpa === 0', 'true'],
  ),
  ...of(
    'sensor/metrology.ts',
    ['reference/metrology.test.ts', 'core/sensor/metrology.test.ts', 'reference/gum-line.test.ts'],
    ['(basis.scatter.raw ** 2 * basis.line.meanX)', '(basis.scatter.raw * basis.line.meanX)'],
    ["of === 'reading' ? 1 : 0", '0'],
    ['(largest(tilted) - smallest(tilted)) / 2', 'largest(tilted) - smallest(tilted)'],
    ["basis.scatter.from === 'points' ? basis.line.n - 2 : Infinity", 'Infinity'],
    ['[1, kpa], 1, line.slope)', '[1, kpa], 0, line.slope)'],
  ),
  ...of(
    'sensor/hydrostatics.ts',
    ['reference/water.test.ts', 'reference/gravity.test.ts', 'reference/pressure.test.ts'],
    ['(t + 301.797)', '(t + 301.79)'],
    ['normal - 3.086e-6 * altitudeM', 'normal + 3.086e-6 * altitudeM'],
    ['0.001931851353 * sin2', '0.0019 * sin2'],
    ['psi: 6894.757293168', 'psi: 6894'],
  ),
  ...of(
    'force/filter.ts',
    ['reference/butterworth.test.ts', 'core/force/filter.test.ts', 'core/force/filter-laws.test.ts'],
    ['return 3 * (order + 1);', 'return 3 * order;'],
    ['/ passCorrection(order, 2)', '/ passCorrection(order, 1)'],
    ['2 * last - series[n - 1 - i]!', 'series[n - 1 - i]!'],
    ['let z2 = (b2 - a2 * gain) * first;', 'let z2 = 0;'],
  ),
  ...of(
    'force/plateau.ts',
    ['core/force/plateau.test.ts'],
    ['* MAD_TO_SD) / Math.SQRT2', '* MAD_TO_SD)'],
    ['smallest / Math.sqrt(12)', 'smallest'],
    ['/ (width - 1)));', '/ width));'],
  ),
  ...of(
    'force/propulsion.ts',
    ['core/force/propulsion.test.ts'],
    ['(level - from) / (to - from) < 0.5', '(level - from) / (to - from) < 1.5'],
    ['force >= forceN[k - 1]! && force >=', 'force > forceN[k - 1]! && force >'],
    ['forceN[lowest]! >= enter)', 'forceN[lowest]! >= Infinity)'],
    ['- at(pulse.start) < rule.leastS', '- at(pulse.start) < 0'],
    ["if (left.ends === 'trace' || right.ends === 'trace') return null;", ''],
    ['(higherPct - pct))) / Math.sqrt(3)', '(higherPct - pct)))'],
  ),
  ...of(
    'force/strokecounter.ts',
    ['core/force/strokecounter.test.ts', 'core/force/strokecounter-truth.test.ts'],
    ['const LEAST_PEAK = 0.22;', 'const LEAST_PEAK = 0.5;'],
    ['const LEAST_CLEAR = 2;', 'const LEAST_CLEAR = 0;'],
    ['const ONE_STROKE_PART = 0.45;', 'const ONE_STROKE_PART = 0.05;'],
    ['const SWIM_PART = 0.4;', 'const SWIM_PART = 0;'],
  ),
  ...of(
    'trial/basis.ts',
    ['core/trial/basis.test.ts'],
    ["if (partnerEnd.clock !== start.clock) return 'mixed';", ''],
    ["start.clock === 'trace' ? 'force' : 'video'", "start.clock === 'trace' ? 'video' : 'force'"],
    ['if (handOver === null || idcPct === null || !own) continue;', 'if (handOver === null) continue;'],
    ["if (counts.size < 2 && !counts.has('mixed')) return null;", 'if (counts.size < 2) return null;'],
  ),
  ...of(
    'force/outline.ts',
    ['core/force/outline.test.ts', 'core/force/handarea.test.ts', 'reference/handarea.test.ts'],
    ['return Math.abs(twiceArea(points)) / 2;', 'return Math.abs(twiceArea(points));'],
    ['if (abc * abd < 0 && cda * cdb < 0) return true;', ''],
  ),
  ...of(
    'force/tracedarea.ts',
    ['core/force/handarea.test.ts', 'reference/handarea.test.ts'],
    ['repeats / Math.sqrt(areas.length)', 'repeats'],
    ['const nearer = (1 - middleCm / cameraCm) ** 2;', 'const nearer = 1;'],
    ['(2 * cm2 * withinU(middleCm))', '(cm2 * withinU(middleCm))'],
    ['Math.sqrt(nearer) * withinU(offsetCm)', '0'],
  ),
  ...of(
    'force/handarea.ts',
    ['core/force/handarea.test.ts', 'reference/handarea.test.ts'],
    ['0.007184 * heightCm ** 0.725', '0.007184 * heightCm ** 0.75'],
    ['const POSSIBLE_CM2 = [40, 400]', 'const POSSIBLE_CM2 = [4, 40_000]'],
  ),
  ...of(
    'stroke/entry.ts',
    ['core/stroke/entry.test.ts'],
    ['(alongPx * cmPerPx * pairUPx) / waterPx', '0'],
    ['const pairUPx = Math.SQRT2 * clickUPx;', 'const pairUPx = clickUPx;'],
    ['Math.abs(Math.abs(cm) - bandCm) <= expandedUCm', 'Math.abs(Math.abs(cm) - bandCm) <= 0'],
  ),
  ...of(
    'clock/proposal.ts',
    ['core/clock/quality.test.ts', 'reference/clockquality.test.ts', 'core/clock'],
    ['const LEAST_STRENGTH = 8;', 'const LEAST_STRENGTH = 2;'],
    ['timeS - before.timeS <= togetherS', 'timeS - before.timeS <= 0'],
    ['const APART = 1.5;', 'const APART = 1;'],
  ),
  ...of(
    'clock/clock.ts',
    ['reference/clock.test.ts', 'core/clock'],
    ['(traceS - clock.offsetS) / clock.rate', 'traceS - clock.offsetS'],
    ['pairs.length < 3 ? null', 'pairs.length < 2 ? null'],
  ),
  ...of(
    'clock/doubt.ts',
    ['core/clock', 'core/trial/second-look.test.ts', 'core/marking'],
    ['explained / 2 + DUST_S', 'explained + DUST_S'],
    ['MOST_RATE_OFF + 3 * rateU', 'MOST_RATE_OFF'],
    ['momentSpread(pairs) > explained', 'momentSpread(pairs) > Infinity'],
    ['pairs.length > 0 && line === null', 'false'],
    ['Math.sqrt(1 / pairs.length + lever)', 'Math.sqrt(1 / pairs.length)'],
  ),
  ...of(
    'force/trace.ts',
    ['core/force/trace.test.ts'],
    ['worst > 0.5 + 1e-9', 'worst > 0.7'],
    ['worst > 0.5 + 1e-9', 'worst > 0.3'],
    ['if (rest !== 0.5) return Math.round(value);', 'return Math.round(value);'],
    ['(time > next && next > last)', 'time > next'],
    ['Math.max(1, roundHalfEven(', 'Math.max(0, roundHalfEven('],
  ),
  ...of(
    'force/uncertainty.ts',
    ['core/force', 'core/trial', 'reference'],
    ['Math.abs(shift) / (2 * Math.sqrt(3))', 'Math.abs(shift) / Math.sqrt(3)'],
    ["origin === 'calibration' ? calibration.referenceZeroUKpa : 0", '0'],
    ['(weight * tapOffsetMm * 1e-6) / Math.sqrt(3)', 'weight * tapOffsetMm * 1e-6'],
    ['durationS * inFullN', 'inFullN'],
  ),
  ...of(
    'stroke/coordination.ts',
    ['core/stroke', 'core/trial'],
    ['shared += part ** 2 / overs.length;', 'shared += part ** 2 / overs.length ** 2;'],
    ['(reading / 4 + shared)', '((reading + shared) / 4)'],
    ['partnerStartS < start.timeS - cycleTimeS', 'partnerStartS < start.timeS - 2 * cycleTimeS'],
    ['timeS > partnerStartS && timeS < start.timeS', 'false'],
  ),
  ...of(
    'deck/knownpressure.ts',
    ['core/deck'],
    ["when === 'start' ? (alone?.startKpa ?? null) : (alone?.endKpa ?? null)", 'alone?.endKpa ?? null'],
  ),
  ...of(
    'day/checks.ts',
    ['core/day', 'core/deck/knownpressure.test.ts'],
    ['Math.abs(deviation) > Math.abs(worst)', 'deviation > worst'],
    ['?.raw ?? line.interceptRaw', '?.raw ?? 0'],
  ),
  ...of(
    'rater/clustered.ts',
    ['reference/clustered.test.ts', 'reference/agreement.test.ts', 'core/rater'],
    ['Math.max(0, (between - withinVariance) / perSwimmer)', 'Math.max(0, between - withinVariance)'],
    ['coverageFactor(COVERAGE, k - 1) * biasU!', 'coverageFactor(COVERAGE, n - 1) * biasU!'],
    ['Math.sqrt((spread * k) / (k - 1)) / n', 'Math.sqrt(squaresWithin / (n - 1) / n)'],
    ['coverageFactor(COVERAGE, effective - 1) * u', '0.5 * u'],
  ),
  ...of(
    'rater/kappa.ts',
    ['reference/agreement.test.ts', 'core/rater'],
    ["weights === 'linear' ? part : part * part", "weights === 'linear' ? part * part : part"],
    ['- (value - byChance * left) ** 2', '+ (value - byChance * left) ** 2'],
  ),
  ...of(
    'rater/agreement.ts',
    ['reference/agreement.test.ts', 'core/rater'],
    ['(k * (raters - residual)) / n', '0'],
    ['of(1 / upperF(rest, subjects))', 'of(1 / upperF(subjects, rest))'],
  ),
  ...of(
    'protocol/power.ts',
    ['reference/power.test.ts', 'core/protocol'],
    ['first + second - 2', 'first + second - 1'],
    ["sides === 'two' ? alpha / 2 : alpha", 'alpha'],
  ),
  ...of(
    'protocol/sectiontiming.ts',
    ['core/protocol'],
    ['both / Math.SQRT2', 'both'],
    ['alongM * (1 - acrossM / markAcrossM)', 'alongM * (1 + acrossM / markAcrossM)'],
  ),
  ...of(
    'stroke/curve.ts',
    ['core/stroke'],
    ['* p) / (CYCLE_POINTS - 1)', '* p) / CYCLE_POINTS'],
    ['value: here.timeS - there.timeS', 'value: there.timeS - here.timeS'],
  ),
];
