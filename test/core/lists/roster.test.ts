/**
 * A list of swimmers with headings nobody prescribed. Units: NIST SP 811 (2008) appendix B.8: 1 in = 2.54 cm and
 * 1 lb = 0.453 592 37 kg exactly. Majority at 18: Convention on the Rights of the Child, article 1 (from memory).
 * Which words mean what is common practice, no source.
 */
import { describe, expect, test } from 'vitest';
import type { DeckSwimmer } from '../../../core/deck/deck.ts';
import type { RosterMatch } from '../../../core/lists/roster.ts';
import { matchRoster } from '../../../core/lists/roster.ts';
import { minorProblem } from '../../../core/deck/minor.ts';
import type { TextTable } from '../../../core/base/table.ts';

function table(lines: readonly string[], more: Partial<TextTable> = {}): TextTable {
  const [header, ...rows] = lines.map((line) => line.split('|').map((cell) => cell.trim()));
  return {
    file: 'The table',
    header: header!,
    rows: rows.map((cells, index) => ({ line: index + 2, cells })),
    unclosed: [],
    decimalComma: false,
    ...more,
  };
}

const DATE = '2026-03-14';

function match(lines: readonly string[], more: Partial<Parameters<typeof matchRoster>[0]> = {}): RosterMatch {
  return matchRoster({ table: table(lines), matching: null, date: DATE, known: [], ...more });
}

/** The one swimmer of a table of one row that must be taken. */
function swimmer(lines: readonly string[]): DeckSwimmer {
  const { rows } = match(lines);
  if (rows[0]?.value == null) throw new Error(JSON.stringify(rows));
  return rows[0].value;
}

function problems(lines: readonly string[], more?: Parameters<typeof match>[1]): readonly string[] {
  const rows = match(lines, more).rows;
  for (const problem of rows.flatMap((row) => row.problems)) expect(problem).toMatch(/\.$/);
  return rows.flatMap((row) => row.problems);
}

describe('columns are guessed', () => {
  test('from the names of formats.md', () => {
    const columns =
      'participant,sex,birth_year,height_cm,mass_kg,left_hand_area_cm2,right_hand_area_cm2,hand_area_u_cm2,consent,note'.split(
        ',',
      );
    const { matching } = match([columns.join('|'), 'P01']);
    expect(matching).toEqual(Object.fromEntries(columns.map((name) => [name, name])));
  });

  test.each<[string, Record<string, string>]>([
    [
      'Swimmer ID|Gender|Year of birth|Height (cm)|Body mass [kg]|Hand area left (cm²)|Hand area right (cm²)',
      {
        participant: 'Swimmer ID',
        sex: 'Gender',
        birth_year: 'Year of birth',
        height_cm: 'Height (cm)',
        mass_kg: 'Body mass [kg]',
        left_hand_area_cm2: 'Hand area left (cm²)',
        right_hand_area_cm2: 'Hand area right (cm²)',
      },
    ],
    [
      'Kürzel|Geschlecht|Geburtsdatum|Körpergröße in m|Gewicht|Handfläche links, cm2|Handfläche rechts, cm2|Einwilligung|Bemerkung',
      {
        participant: 'Kürzel',
        sex: 'Geschlecht',
        birth_year: 'Geburtsdatum',
        height_cm: 'Körpergröße in m',
        mass_kg: 'Gewicht',
        left_hand_area_cm2: 'Handfläche links, cm2',
        right_hand_area_cm2: 'Handfläche rechts, cm2',
        consent: 'Einwilligung',
        note: 'Bemerkung',
      },
    ],
    [
      'code|sexe|année de naissance|taille|poids|surface main gauche|surface main droite|consentement|remarques',
      {
        participant: 'code',
        sex: 'sexe',
        birth_year: 'année de naissance',
        height_cm: 'taille',
        mass_kg: 'poids',
        left_hand_area_cm2: 'surface main gauche',
        right_hand_area_cm2: 'surface main droite',
        consent: 'consentement',
        note: 'remarques',
      },
    ],
    [
      'participantCode|birthYear|leftHandArea|hand area uncertainty|Consent to filming|film sharing consent|consent form version',
      {
        participant: 'participantCode',
        birth_year: 'birthYear',
        left_hand_area_cm2: 'leftHandArea',
        hand_area_u_cm2: 'hand area uncertainty',
        consent_filming: 'Consent to filming',
        consent_sharing: 'film sharing consent',
        consent_text_version: 'consent form version',
      },
    ],
    // A word that the field does not know keeps a column out; the better of two takes the field.
    ['ID|Participant|Weight class|Club|Age', { participant: 'Participant' }],
    [
      'participant|Guardian’s consent',
      { participant: 'participant', guardian_consent: 'Guardian’s consent' },
    ],
  ])('%s', (header, matching) => expect(match([header, 'P01']).matching).toEqual(matching));

  test('and a column of names is left out on purpose, also where a person asks for it', () => {
    const lines = ['Name|Last name|code', 'Anna|B|P01'];
    const guessed = match(lines);
    expect(guessed.columns).toEqual(['Name', 'Last name', 'code']);
    expect(guessed.matching).toEqual({ participant: 'code' });
    expect(guessed.fields[0]!.says).toContain(
      'Left out on purpose: “Name”, “Last name”. Names and addresses',
    );
    const asked = match(lines, { matching: { participant: 'Name', note: 'Last name' } });
    expect(asked.matching).toEqual({});
    expect(asked.rows[0]!.value).toBeNull();
    expect(JSON.stringify(asked.rows)).not.toContain('Anna');
  });

  test('and a person’s matching takes the place of the guess', () => {
    const lines = ['a|b|height', 'P01|178|180'];
    const chosen = match(lines, { matching: { participant: 'a', height_cm: 'b' } });
    expect(chosen.matching).toEqual({ participant: 'a', height_cm: 'b' });
    expect(chosen.rows[0]!.value).toMatchObject({ participant: 'P01', heightCm: 178 });
    const wrong = match(lines, {
      matching: { participant: 'a', height_cm: 'z', mass_kg: 'a', nonsense: 'b' },
    });
    expect(wrong.matching).toEqual({ participant: 'a' });
    expect(wrong.fields.find(({ field }) => field === 'height_cm')!.says).toContain('no column “z”');
    expect(wrong.fields.find(({ field }) => field === 'mass_kg')!.says).toContain(
      'already gives participant',
    );
  });

  test('and headings that come twice, or are empty, are told apart', () => {
    const { columns, matching, rows } = match(['code|note|note|', 'P01|one|two|three']);
    expect(columns).toEqual(['code', 'note', 'note (column 3)', '(column 4)']);
    expect(matching['note']).toBe('note');
    expect(rows[0]!.value?.note).toBe('one');
  });
});

describe('cells are understood', () => {
  test.each([
    ['height (m)', '1.78', 178],
    ['height_m', '1.1', 110],
    ['Height in cm', '178.5', 178.5],
    ['height [in]', '70', 177.8],
    ['height mm', '1780', 178],
  ])('%s of %s', (heading, cell, heightCm) =>
    expect(swimmer([`code|${heading}`, `P01|${cell}`]).heightCm).toBe(heightCm),
  );

  test('body mass in pounds and hand area in mm²', () => {
    const { massKg, rightHandAreaCm2 } = swimmer(['code|weight (lb)|right hand area mm²', 'P01|150|15050']);
    expect(massKg).toBeCloseTo(150 * 0.45359237, 10);
    expect(rightHandAreaCm2).toBe(150.5);
  });

  test('a decimal comma where the separator is none', () => {
    const { rows } = match([], {
      table: table(['code|height (m)', 'P01|1,78'], { decimalComma: true }),
    });
    expect(rows[0]!.value?.heightCm).toBe(178);
    expect(problems(['code|height (m)', 'P01|1,78'])[0]).toContain('a number takes a decimal point');
  });

  test.each([
    ['f', 'female'],
    ['W', 'female'],
    ['weiblich', 'female'],
    ['Féminin', 'female'],
    ['M', 'male'],
    ['homme', 'male'],
    ['divers', 'unspecified'],
    ['', null],
  ])('sex %s', (cell, sex) => expect(swimmer(['code|sex', `P01|${cell}`]).sex).toBe(sex));

  test('H beside M may be man and woman: neither is taken', () => {
    const { rows } = match(['code|sexo', 'P01|H', 'P02|M', 'P03|mujer']);
    expect(rows.map(({ value }) => value?.sex)).toEqual([undefined, undefined, 'female']);
  });

  test.each([
    ['1999', 1999],
    ['1999-05-03', 1999],
    ['03.05.1999', 1999],
    ['3/5/1999', 1999],
    ['05/1999', 1999],
    ['1999-05-03 00:00', 1999],
    ['-', null],
  ])('birth %s: the year alone is kept', (cell, birthYear) =>
    expect(swimmer(['code|date of birth', `P01|${cell}`]).birthYear).toBe(birthYear),
  );

  test.each([
    ['yes', 'given'],
    ['Ja', 'given'],
    ['given', 'given'],
    ['assent and guardian', 'assent_and_guardian'],
    ['assent_and_guardian', 'assent_and_guardian'],
    ['withdrawn', 'withdrawn'],
    ['no', 'missing'],
    ['', 'missing'],
    ['-', 'missing'],
  ])('consent %s', (cell, measuring) =>
    expect(swimmer(['code|consent', `P01|${cell}`]).consents.measuring).toBe(measuring),
  );

  test('consents to measuring, filming and sharing stand apart', () => {
    const header = 'code|consent|consent filming|consent sharing';
    expect(swimmer([header, 'P01|yes|no|']).consents).toEqual({
      measuring: 'given',
      filming: 'withheld',
      sharing: 'not_asked',
    });
    expect(swimmer(['code', 'P01']).consents).toEqual({
      measuring: 'missing',
      filming: 'not_asked',
      sharing: 'not_asked',
    });
  });
});

describe('what cannot be taken is said, row by row', () => {
  test.each<[string, readonly string[], RegExp]>([
    ['no code column', ['height', '178'], /^No column gives the swimmer’s code/],
    ['empty code', ['code|sex', '|f'], /^“code” is empty; give the swimmer a code/],
    ['a name', ['swimmer', 'Anna B'], /holds no code.*Names never become codes/],
    ['too long', ['code', 'P'.repeat(57)], /1 to 56/],
    ['sex', ['code|sex', 'P01|blue'], /^“sex” is “blue”; it takes female, male/],
    [
      'metres without a word',
      ['code|height', 'P01|1.78'],
      /gives 1.78 cm; .* if it is in m, say so in the heading/,
    ],
    ['a slip', ['code|height (cm)', 'P01|1780000'], /between 50 cm and 275 cm: correct it\.$/],
    [
      'a foreign unit',
      ['code|height (ft)', 'P01|5.9'],
      /is in ft; a height is read in cm, m, mm, in: convert/,
    ],
    ['no number', ['code|mass', 'P01|heavy'], /^“mass” is "heavy"; it takes a number/],
    ['year of two digits', ['code|born', 'P01|03.05.99'], /the year with four digits/],
    ['no such day', ['code|born', 'P01|1999-02-29'], /takes a year such as/],
    ['a year to come', ['code|born', 'P01|2031'], /lies between 1900 and the year of the testing day/],
    ['unknown consent', ['code|consent', 'P01|perhaps'], /^“consent” is “perhaps”; it takes given/],
    ['assent alone', ['code|consent', 'P01|assent'], /nothing of a guardian’s consent; both are needed/],
    ['guardian alone', ['code|consent', 'P01|guardian'], /nothing of the swimmer’s own assent/],
    [
      'a contradiction',
      ['code|consent|guardian consent', 'P01|assent and guardian|no'],
      /correct one of them/,
    ],
    ['a row too long', ['code|sex', 'P01|f|x'], /The row has 3 cells and the header 2/],
    ['a long note', ['code|note', `P01|${'x'.repeat(1001)}`], /at most 1000: shorten it/],
  ])('%s', (_what, lines, says) => {
    expect(match(lines).rows[0]!.value).toBeNull();
    expect(problems(lines)[0]).toMatch(says);
  });

  test('several problems of a row together, and the other rows go on', () => {
    const { rows } = match(['code|sex|mass', 'P 1|blue|heavy', 'P02|f|60']);
    expect(rows[0]!.problems).toHaveLength(3);
    expect(rows[1]).toMatchObject({ line: 3, value: { participant: 'P02' }, problems: [] });
  });

  test('a quote that is never closed has its line', () => {
    const { rows } = match([], { table: table(['code', 'P01'], { unclosed: [3] }) });
    expect(rows.map(({ line, value }) => [line, value?.participant])).toEqual([
      [2, 'P01'],
      [3, undefined],
    ]);
  });

  test('codes that come twice in the file, or are there already, also in other capitals', () => {
    const said = problems(['code', 'P01', 'P01', 'p01', 'P02', 'P03'], { known: ['P02'] });
    expect(said).toEqual([
      'P01 is in line 2 already; that row stays. Give this swimmer another code, or take the row out.',
      'p01 differs only in capitals from P01, which is in line 2 already; files of the two would be mixed up: give another code.',
      'P02 is among the swimmers of the day already; change the swimmer there, or take this row out.',
    ]);
  });
});

describe('a minor needs assent and a guardian’s consent', () => {
  const row = (birth: string, consent: string) =>
    match(['code|born|consent', `P01|${birth}|${consent}`]).rows[0]!;

  test.each(['2010', '2009', '2008-03-15', '15.3.2008'])('born %s, given alone: no', (birth) => {
    expect(row(birth, 'given').value).toBeNull();
    expect(row(birth, 'given').problems[0]).toMatch(
      /under 18 on 2026-03-14.*assent and a guardian’s consent/,
    );
    expect(row(birth, 'assent and guardian').value?.consents.measuring).toBe('assent_and_guardian');
    expect(row(birth, 'no').value?.consents.measuring).toBe('missing');
  });

  test.each(['2007', '2008-03-14', '14.3.2008', '1/3/2008'])('born %s: of age', (birth) =>
    expect(row(birth, 'given')).toMatchObject({ value: { consents: { measuring: 'given' } }, problems: [] }),
  );

  // 4/3/2008 is 4 March or 3 April: of age on the day by the one, not by the other.
  test.each(['2008', '4/3/2008'])('born %s: taken, and said that it is open', (birth) => {
    expect(row(birth, 'given').value).not.toBeNull();
    expect(row(birth, 'given').problems[0]).toMatch(/turns 18 in 2026; if they are still 17/);
  });

  test('from a column of its own', () => {
    const { rows } = match(['code|born|assent|guardian consent', 'P01|2011|yes|yes', 'P02|2011|yes|']);
    expect(rows[0]!.value?.consents.measuring).toBe('assent_and_guardian');
    expect(rows[1]!.value).toBeNull();
  });

  test('also where the birth is typed', () => {
    expect(minorProblem({ year: 2012, isMinor: null }, DATE)?.isSure).toBe(true);
    expect(minorProblem({ year: 2008, isMinor: null }, DATE)?.isSure).toBe(false);
    expect(minorProblem({ year: 1990, isMinor: null }, DATE)).toBeNull();
    expect(minorProblem(null, DATE)).toBeNull();
  });
});
