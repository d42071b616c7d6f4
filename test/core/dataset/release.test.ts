import { describe, expect, test } from 'vitest';
import { DATASET_FIELDS } from '../../../core/dataset/dataset.ts';
import { coarseYear, handedOver, handedOverSays } from '../../../core/dataset/release.ts';

const HOME = { coarseBirthYear: false, notes: false };

/** A row of a table whose cells are their columns' names, but for some. */
function row(table: 'participants' | 'trials' | 'strokes' | 'refused', own: Record<string, string>) {
  return DATASET_FIELDS[table].map(({ name }) => own[name] ?? name);
}

function cell(table: Parameters<typeof row>[0], name: string, own: string, wish: typeof HOME): string {
  const place = DATASET_FIELDS[table].findIndex((field) => field.name === name);
  return handedOver(table, row(table, { [name]: own }), wish)[place]!;
}

describe('what is handed over', () => {
  test.each([
    ['2000', '2000'],
    ['2003', '2000'],
    ['2004', '2000'],
    ['2005', '2005'],
    ['1999', '1995'],
    ['', ''],
    ['about 2003', ''],
  ])('birth year %s becomes %s', (year, coarse) => {
    expect(coarseYear(year)).toBe(coarse);
    expect(cell('participants', 'birth_year', year, { ...HOME, coarseBirthYear: true })).toBe(coarse);
    expect(cell('participants', 'birth_year', year, HOME)).toBe(year);
  });

  test.each(['trials', 'strokes'] as const)('reasons of %s stay at home unless asked for', (table) => {
    expect(cell(table, 'exclusion_reason', 'Anna hurt her knee', HOME)).toBe('');
    expect(cell(table, 'exclusion_reason', 'Anna hurt her knee', { ...HOME, notes: true })).toBe(
      'Anna hurt her knee',
    );
  });

  test('a refusal keeps its sentence and not what it quotes', () => {
    const reason = 'participant is "Anna M."; a code has 1 to 64 of the characters A–Z a–z 0–9 _ . -.';
    expect(cell('refused', 'reason', reason, HOME)).toBe(
      'participant is "…"; a code has 1 to 64 of the characters A–Z a–z 0–9 _ . -.',
    );
    expect(cell('refused', 'reason', reason, { ...HOME, notes: true })).toBe(reason);
  });

  test('everything else goes along as it is written', () => {
    for (const table of ['participants', 'trials', 'strokes', 'refused'] as const) {
      const cells = row(table, {});
      const kept = handedOver(table, cells, HOME);
      const free = new Set(['exclusion_reason']);
      expect(kept.filter((_, k) => !free.has(cells[k]!))).toEqual(cells.filter((name) => !free.has(name)));
    }
  });

  test('is said before it is written', () => {
    const wish = { samples: false, parquet: false, curves: false, matlab: false, edf: false };
    expect(handedOverSays({ ...wish, ...HOME })[0]).toContain('Free text stays here');
    expect(handedOverSays({ ...wish, notes: true, coarseBirthYear: true })).toEqual([
      expect.stringContaining('Free text goes along'),
      'Birth years are coarsened to 5 years.',
      expect.stringContaining('codes'),
    ]);
  });
});
