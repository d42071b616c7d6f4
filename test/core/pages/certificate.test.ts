/** The certificate: what it says, how it writes quantities, and that nothing in it comes from elsewhere. */
import { describe, expect, test } from 'vitest';
import { assessDraft } from '../../../core/sensor/assess.ts';
import type { BenchDraft, KeptCalibration, SensorCard } from '../../../core/sensor/draft.ts';
import { DEFAULT_BENCH_LIMITS } from '../../../core/sensor/limits.ts';
import { CERTIFICATE_STYLE, certificateHtml } from '../../../core/pages/certificate.ts';
import { estimateText } from '../../../core/pages/html.ts';

const HASH = 'ab'.repeat(32);
const SEAL = 'cd'.repeat(32);
const CARD: SensorCard = {
  sensor: 'S-09',
  hand: 'left',
  rangeKpa: 20,
  rawUnit: 'count',
  rawMin: 0,
  rawMax: 65535,
  state: 'in_service',
  notes: '',
};

function draft(more: Partial<BenchDraft> = {}): BenchDraft {
  const levels = [0, 0.5, 1, 1.5, 2];
  const points = [...levels, ...levels.toReversed()].map((applied, k) => ({
    applied,
    appliedUnit: 'm_water' as const,
    raw: 8000 + 19578 * applied + (k % 3),
    direction: k < 5 ? ('up' as const) : ('down' as const),
    run: 1,
    setAside: k === 4 ? 'a bubble <in> the tube' : null,
    source:
      k === 0
        ? {
            kind: 'trace' as const,
            sha256: HASH,
            file: 'up & down.csv',
            startS: 1.5,
            endS: 3.25,
            sdRaw: 2.5,
            count: 176,
          }
        : { kind: 'typed' as const },
  }));
  return {
    sensor: 'S-09',
    method: 'water_column',
    waterTemperatureC: 20,
    latitudeDeg: 45,
    altitudeM: 0,
    columnHeightM: 2.5,
    reference: { name: 'Tape T-1', sharedKpa: 0.01, scale: 0.0005, perPointKpa: 0.02 },
    notes: '<script>alert(1)</script>',
    points,
    ...more,
  };
}

function certificate(
  more: Partial<BenchDraft> = {},
  over: Partial<KeptCalibration> = {},
  card = CARD,
  lab: string | null = null,
): string {
  const made = draft(more);
  const record: KeptCalibration = {
    id: 7,
    sensor: 'S-09',
    at: '2026-05-04T08:30:00.000Z',
    who: 'AB',
    origin: { kind: 'bench' },
    draft: made,
    limits: DEFAULT_BENCH_LIMITS,
    ...assessDraft(made, CARD, DEFAULT_BENCH_LIMITS, null),
    version: '1.2.3',
    ...over,
  };
  return certificateHtml({ record, card, lab, seal: SEAL, damaged: [] });
}

describe('a certificate', () => {
  test('says what was done, by whom, when, with what, and what came of it', () => {
    const html = certificate();
    for (const said of [
      'Calibration 7 of sensor S-09',
      'It claims no accreditation',
      'Water column',
      '2026-05-04T08:30:00.000Z',
      '>AB<',
      'Lanebench 1.2.3',
      'Tape T-1',
      // Tanaka et al. 2001: 998.2067 kg/m³ at 20 °C. GRS80 (Moritz): 9.80620 m/s² at 45°.
      '998.207 kg/m³',
      '9.80620 m/s²',
      'Accepted with a remark',
      '1 point was set aside, with a reason each.',
      'The spread between runs was not judged.',
      HASH,
      SEAL,
    ])
      expect(html).toContain(said);
  });

  test('shows points set aside with their reason, and where a reading was taken', () => {
    const html = certificate();
    expect(html).toContain('Set aside: a bubble &lt;in&gt; the tube');
    expect(html.match(/<tr class="aside">/g)).toHaveLength(1);
    expect(html).toContain('up &amp; down.csv, 1.5 s to 3.25 s, mean of 176, SD 2.5');
  });

  test('names the day and its file where it came with one', () => {
    const html = certificate({}, { origin: { kind: 'day', day: 'harbour', sha256: HASH } });
    expect(html).toContain('2026-05-04, with day harbour');
    expect(html).toContain('calibration.csv of day harbour');
  });

  // What identifies the lab and the item: ISO/IEC 17025:2017, 7.8.2.1 b and g; the due date is this lab's own rule.
  test('names the lab, the maker, the serial number, and when it is due again', () => {
    const card = { ...CARD, maker: 'Quay <Works>', serial: '0042-7', dueOn: '2027-05-04' };
    const html = certificate({}, {}, card, 'Harbour Swim Lab');
    for (const said of ['Harbour Swim Lab', 'Quay &lt;Works&gt;', '0042-7', '2027-05-04'])
      expect(html).toContain(said);
    expect(certificate()).toContain('not named');
  });

  test('tells the day on which it was made, where it was kept later', () => {
    const html = certificate({ madeOn: '2026-03-01' }, { at: '2026-03-01T12:00:00.000Z' });
    expect(html).toContain('2026-03-01, kept in the register later');
  });

  test('without a line has no results and says rejected', () => {
    const html = certificate({ points: [] });
    expect(html).toContain('Rejected');
    expect(html).toContain('No line could be laid');
  });

  test('stands alone: no script, nothing loaded, text of a person stays text', () => {
    const html = certificate();
    expect(html).not.toMatch(/<script|<link|<img|<iframe|\bsrc=|\bhref=|@import|url\(/i);
    expect(html).toContain('&lt;script&gt;alert(1)&lt;/script&gt;');
    expect(html).toContain(`<style>${CERTIFICATE_STYLE}</style>`);
    expect(CERTIFICATE_STYLE).toContain('@media print');
  });

  test('says where the reference was taken as exact', () => {
    const exact = { name: '', sharedKpa: 0, scale: 0, perPointKpa: 0 };
    expect(certificate({ reference: exact })).toContain('the reference was taken as exact');
  });
});

// JCGM 100:2008 7.2.6: u to two figures at most, the estimate to the same digit (10.05762 Ω with 27 mΩ: 10.058 Ω).
test.each([
  [10.05762, 0.027, 'Ω', '(10.058 ± 0.027) Ω, k = 2.00'],
  [3651.4571, 4.862, 'count/kPa', '(3651.5 ± 4.9) count/kPa, k = 2.00'],
  [8256.4, 44.2, 'count', '(8256 ± 44) count, k = 2.00'],
  [-8256.4, 442, 'count', '(−8260 ± 440) count, k = 2.00'],
  [0.5, 0.0999, 'kPa', '(0.50 ± 0.10) kPa, k = 2.00'],
])('%d ± %d %s is written %s', (value, expanded, unit, text) => {
  const known = { value, u: expanded / 2, degreesOfFreedom: null, coverageFactor: 2, expanded };
  expect(estimateText(known, unit)).toBe(text);
});

test('a value without uncertainty says so', () => {
  const bare = { value: 12.3456789, u: null, degreesOfFreedom: null, coverageFactor: null, expanded: null };
  expect(estimateText(bare, 'kPa')).toBe('12.3457 kPa, uncertainty not determined');
});
