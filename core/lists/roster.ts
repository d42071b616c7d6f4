/**
 * A person's list of swimmers, read row by row into swimmers of a testing day. What cannot be taken is a sentence with
 * the column and what to do; what was taken but wants a look is one too, beside the value.
 * The bounds outside which a body's measure is a slip, and that a minor needs assent and a guardian's consent, are
 * common practice, no source; local law decides when a swimmer is a minor and who consents.
 */
import { type MatchView, matchTable, type MatchedRow, type RowReading, type MatchedCell } from './columns.ts';
import { type DeckSwimmer, deckSwimmer } from '../deck/deck.ts';
import type { TextTable } from '../base/table.ts';
import { ROSTER_FIELDS, isPersonal } from './rosterfields.ts';
import { type Say, type QuantityRule, readQuantity, meanings, readWord } from './cells.ts';
import { readBirth } from './birth.ts';
import { minorProblem } from '../deck/minor.ts';
import type { Consent } from '../day/tables.ts';

export type RosterMatch = MatchView<DeckSwimmer>;

export interface RosterOrder {
  readonly table: TextTable;
  /** Which column gives which field; null asks for a guess. */
  readonly matching: Readonly<Record<string, string>> | null;
  /** The day's date, such as 2026-03-14. */
  readonly date: string;
  /** Codes of the swimmers who are there already. */
  readonly known: readonly string[];
}

/** Matches the columns of a list of swimmers and reads its rows. */
export function matchRoster({ table, matching, date, known }: RosterOrder): RosterMatch {
  return matchTable<DeckSwimmer>({
    table,
    fields: ROSTER_FIELDS,
    chosen: matching,
    leftOut: isPersonal,
    leftOutSays: (columns) =>
      `Left out on purpose: ${columns.map((column) => `“${column}”`).join(', ')}. Names and addresses never become codes, for a code stands in every file and table; keep the list of who is who elsewhere.`,
    read: (rows) => readRoster(rows, table.decimalComma, date, known),
  });
}

function readRoster(
  rows: readonly MatchedRow[],
  decimalComma: boolean,
  date: string,
  known: readonly string[],
): readonly RowReading<DeckSwimmer>[] {
  const taken = new Map(known.map((code) => [code.toLowerCase(), { code, line: null as number | null }]));
  // H and M are man and woman in Spanish: beside an H, an M is no man.
  const isSpanish = rows.some((row) => row.cell('sex')?.text.toLowerCase() === 'h');
  return rows.map((row) => {
    const problems: string[] = [];
    const remarks: string[] = [];
    const say: Say = (problem) => problems.push(problem);
    const participant = readParticipant(row.cell('participant'), say);
    if (participant !== null) {
      const other = taken.get(participant.toLowerCase());
      if (other === undefined) taken.set(participant.toLowerCase(), { code: participant, line: row.line });
      else say(twice(participant, other));
    }
    const birth = readBirth(row.cell('birth_year'), date, say);
    const measuring = readConsent(row, say);
    const guardian = measuring === 'given' ? minorProblem(birth, date) : null;
    if (guardian !== null) (guardian.isSure ? problems : remarks).push(guardian.says);
    const quantity = (field: string, rule: QuantityRule) =>
      readQuantity(row.cell(field), rule, decimalComma, say);
    const text = (field: string) => row.cell(field)?.text ?? '';
    const swimmer = {
      participant,
      sex: readSex(row.cell('sex'), isSpanish, say),
      birthYear: birth?.year ?? null,
      heightCm: quantity('height_cm', HEIGHT),
      massKg: quantity('mass_kg', MASS),
      leftHandAreaCm2: quantity('left_hand_area_cm2', AREA),
      rightHandAreaCm2: quantity('right_hand_area_cm2', AREA),
      handAreaUCm2: quantity('hand_area_u_cm2', AREA_U),
      consents: {
        measuring,
        filming: readFilmConsent(row.cell('consent_filming'), say),
        sharing: readFilmConsent(row.cell('consent_sharing'), say),
      },
      consentTextVersion: text('consent_text_version'),
      note: text('note'),
    };
    for (const [field, most] of [
      ['consentTextVersion', 60],
      ['note', 1000],
    ] as const)
      if (swimmer[field].length > most)
        say(
          `${field === 'note' ? 'The note' : 'The version of the consent text'} has ${swimmer[field].length} characters; it takes at most ${most}: shorten it.`,
        );
    if (problems.length > 0) return { value: null, problems: [...problems, ...remarks] };
    return { value: deckSwimmer.parse(swimmer), problems: remarks };
  });
}

function readParticipant(cell: MatchedCell | null, say: Say): string | null {
  if (cell === null) {
    say('No column gives the swimmer’s code: choose one, or add one with codes such as P01.');
    return null;
  }
  const { text, column } = cell;
  if (/^(?!\.+$)[A-Za-z0-9_.-]{1,56}$/.test(text)) return text;
  say(
    text === ''
      ? `“${column}” is empty; give the swimmer a code such as P01.`
      : `“${column}” holds no code: a code has 1 to 56 of the characters A–Z a–z 0–9 _ . - and no space. Names never become codes; give a code such as P01.`,
  );
  return null;
}

function twice(participant: string, other: { readonly code: string; readonly line: number | null }): string {
  const where =
    other.line === null ? 'among the swimmers of the day already' : `in line ${other.line} already`;
  if (other.code !== participant)
    return `${participant} differs only in capitals from ${other.code}, which is ${where}; files of the two would be mixed up: give another code.`;
  return other.line === null
    ? `${participant} is ${where}; change the swimmer there, or take this row out.`
    : `${participant} is ${where}; that row stays. Give this swimmer another code, or take the row out.`;
}

const SEX = meanings({
  female:
    'female|f|w|v|woman|girl|weiblich|frau|femme|feminin|feminine|fille|femenino|mujer|femminile|femmina|feminino|mulher|vrouw|vrouwelijk',
  male: 'male|m|man|boy|mannlich|maennlich|mann|homme|masculin|garcon|masculino|hombre|maschile|maschio|homem|mannelijk',
  unspecified: 'unspecified|x|d|divers|diverse|other|non binary|nonbinary|not said|unknown|na|n a',
});

function readSex(cell: MatchedCell | null, isSpanish: boolean, say: Say) {
  const takes = 'female, male, unspecified, f, m, w or nothing';
  if (isSpanish && cell !== null && /^[hm]$/i.test(cell.text)) {
    say(
      `“${cell.column}” is “${cell.text}”; where H and M stand side by side it cannot be told whom M means: write female or male.`,
    );
    return null;
  }
  return readWord(cell, SEX, takes, say);
}

const HEIGHT: QuantityRule = {
  what: 'a height',
  unit: 'cm',
  factors: { cm: 1, m: 100, mm: 0.1, in: 2.54 },
  low: 50,
  high: 275,
};

const MASS: QuantityRule = {
  what: 'a body mass',
  unit: 'kg',
  // The pound of 1959 is 0.453 592 37 kg exactly.
  factors: { kg: 1, g: 0.001, lb: 0.45359237 },
  low: 10,
  high: 300,
};

const AREA: QuantityRule = {
  what: 'the area of a hand',
  unit: 'cm2',
  factors: { cm2: 1, mm2: 0.01, m2: 10_000, in2: 6.4516 },
  low: 20,
  high: 400,
};

const AREA_U: QuantityRule = { ...AREA, what: 'the uncertainty of a hand’s area', low: 0, high: 100 };

const YES =
  'yes|y|ja|j|oui|si|s|sim|given|consented|consents|agreed|agrees|allowed|signed|ok|okay|x|1|true|erteilt|gegeben|donne|dado|dato';

const NO =
  'no|n|nein|non|nao|nee|not given|refused|declined|withheld|denied|0|false|none|nicht erteilt|verweigert|refuse|negado';

const NOT_YET = 'missing|pending|open|not yet|not asked|unknown|fehlt|ausstehend|offen';

const OWN = meanings({
  given: YES,
  both: 'assent and guardian|assent guardian|guardian and assent|guardian assent|assent and guardian consent|assent and guardian s consent|assent and parent|assent and parents|assent and parental consent|guardian consent and assent|parental consent and assent|parent and child|child and parent',
  assent: 'assent|assent only|assents|assented',
  guardian:
    'guardian|guardian only|guardian consent|guardians|parent|parents|parental|parental consent|eltern',
  withdrawn:
    'withdrawn|withdrew|withdraws|withdraw|revoked|widerrufen|zuruckgezogen|zurueckgezogen|retire|retirado|retirada|ritirato|ingetrokken',
  missing: `${NO}|${NOT_YET}`,
});

const YES_NO = meanings({ yes: YES, no: `${NO}|${NOT_YET}` });

const FILMING = meanings({ given: YES, withheld: NO, not_asked: NOT_YET });

/** Consent to measuring, from the swimmer's own word and a guardian's; missing where it cannot be told. */
function readConsent(row: MatchedRow, say: Say): Consent {
  const cell = row.cell('consent');
  const own = readWord(cell, OWN, 'given, assent and guardian, withdrawn, no or nothing', say) ?? 'missing';
  const guardian = readWord(row.cell('guardian_consent'), YES_NO, 'yes, no or nothing', say);
  switch (own) {
    case 'both':
      if (guardian !== 'no') return 'assent_and_guardian';
      say(
        `“${cell!.column}” says that a guardian consents and “${row.cell('guardian_consent')!.column}” that none does; correct one of them.`,
      );
      return 'missing';
    case 'given':
      return guardian === 'yes' ? 'assent_and_guardian' : 'given';
    case 'assent':
      if (guardian === 'yes') return 'assent_and_guardian';
      say(
        `“${cell!.column}” gives the swimmer’s assent and nothing of a guardian’s consent; both are needed: write “assent and guardian” once both are signed, “no” until then.`,
      );
      return 'missing';
    case 'guardian':
      say(
        `“${cell!.column}” gives a guardian’s consent and nothing of the swimmer’s own assent; both are needed: write “assent and guardian” once both are there, “no” until then.`,
      );
      return 'missing';
    default:
      return own;
  }
}

function readFilmConsent(cell: MatchedCell | null, say: Say): DeckSwimmer['consents']['filming'] {
  return readWord(cell, FILMING, 'yes, no or nothing', say) ?? 'not_asked';
}
