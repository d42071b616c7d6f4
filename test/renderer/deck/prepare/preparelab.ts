/** A day that is about to be run, in memory, over the same core as the lab's. Codes and numbers are invented. */
import type { CallInput, CallName } from '../../../../core/contract/contract.ts';
import type { LabError } from '../../../../core/base/refusal.ts';
import type { AssignedSensor, DeckAct, DeckPlan } from '../../../../core/deck/deck.ts';
import { applyAct } from '../../../../core/deck/acts.ts';
import { fault } from '../../../../core/deck/act.ts';
import { withoutHidden } from '../../../../core/deck/board.ts';
import { firstPlan } from '../../../../core/deck/plan.ts';
import { readyItems } from '../../../../core/deck/ready.ts';
import { firstBoard } from '../../../../core/deck/trials.ts';
import type { DeckView } from '../../../../core/contract/deck.ts';
import { done, failed, type Outcome } from '../../../../core/base/refusal.ts';
import { matchRoster } from '../../../../core/lists/roster.ts';
import type { ProtocolContent } from '../../../../core/protocol/content.ts';
import { CARD, DRAFT, fakeBench, LOOP, record } from '../../sensors/fixture.ts';
import { CONTENT, deckLab, deckView } from '../fixture.ts';

const AT_MS = Date.parse('2026-03-14T08:30:00Z');

/** Two sensors that can be put on, one whose calibration was rejected, one without any, one that rests. */
const CARDS = [
  CARD,
  { ...CARD, sensor: 'K-2', hand: 'right' as const },
  { ...CARD, sensor: 'K-3', hand: null },
  { ...CARD, sensor: 'K-4', hand: null },
  { ...CARD, sensor: 'K-5', hand: null, state: 'resting' as const },
];
const BENT = LOOP.map((point) => ({ ...point, raw: point.raw + 40 * point.applied ** 2 }));
const RECORDS = [
  record(1, '2026-03-10T09:00:00Z', { ...DRAFT, points: LOOP }),
  record(2, '2026-03-10T10:00:00Z', { ...DRAFT, sensor: 'K-2', points: LOOP }, CARDS[1]),
  record(3, '2026-03-10T11:00:00Z', { ...DRAFT, sensor: 'K-3', points: BENT }, CARDS[2]),
];

const REFUSED: LabError = {
  code: 'bad_input',
  says: 'The disk is full.',
  todo: 'Make room, then do it again.',
};

interface Wish {
  readonly content?: Partial<ProtocolContent>;
  readonly plan?: Partial<DeckPlan>;
  readonly answers?: { [N in CallName]?: (input: CallInput<N>) => Outcome<unknown, LabError> };
}

export function preparedLab({ content: part = {}, plan: given = {}, answers = {} }: Wish = {}) {
  const content: ProtocolContent = {
    ...CONTENT,
    conditions: ['free', 'paddles'],
    order: 'balanced',
    attempts: 1,
    checklists: { before: ['The lifeguard is at the pool', 'Everything runs on batteries'], close: [] },
    files: { ...CONTENT.files, names: ['{trial}', '{trial}_{camera}'] },
    ...part,
  };
  const bench = fakeBench({ cards: CARDS, records: RECORDS });
  /** As the lab holds it; what is shown leaves out who withdrew. */
  let deck = {
    plan: { ...firstPlan({ ...deckView().plan.setup, files: content.files }), ...given },
    board: firstBoard(),
  };
  /** Whether the lab cannot keep what is done. */
  const trouble = { act: false };
  const shown = (view: DeckView): DeckView => ({
    ...view,
    ...withoutHidden(deck),
    ready: [
      ...readyItems(deck, content),
      { what: 'watch', done: false, needed: false, says: 'No folder is watched.' },
    ],
  });
  const act = (one: DeckAct): Outcome<DeckView, LabError> => {
    if (trouble.act) return failed(REFUSED);
    const result = applyAct(deck, one, { atMs: AT_MS, who: 'AB', protocol: content, sensor: assigned });
    if (!result.ok) return failed({ code: 'bad_input', ...result.error });
    const { value } = result;
    deck = value.part === 'plan' ? { ...deck, plan: value.value } : { ...deck, board: value.value };
    return done(lab.put(shown(first)));
  };
  const first = deckView({
    day: 'quay-evening',
    protocol: { protocol: 'sprint', version: 3, content },
    trials: [],
    now: null,
    next: null,
    after: null,
    restUntilMs: {},
    watch: { folder: null, state: 'off', says: 'No folder is watched.', arriving: [] },
  });
  const lab: ReturnType<typeof deckLab> = deckLab(shown(first), {
    answers: {
      'deck.act': ({ act: one }) => act(one),
      'bench.get': () => bench.client('bench.get', {}) as never,
      'places.list': ({ path }) =>
        done({
          path,
          parent: null,
          isDay: false,
          entries: path === null ? [{ name: 'incoming', path: '/pool/incoming', isDay: false }] : [],
        }),
      'deck.roster': ({ text, matching }) =>
        done(
          matchRoster({
            table: tableOf(text),
            matching,
            date: deck.plan.setup.date,
            known: deck.plan.swimmers.map(({ participant }) => participant),
          }),
        ),
      ...(answers as object),
    },
  });
  return { ...lab, trouble, held: () => deck };
}

function assigned(
  code: string,
  hand: 'left' | 'right',
): Outcome<AssignedSensor, { says: string; todo: string }> {
  const found = RECORDS.find(
    ({ sensor, verdict }) => sensor === code && verdict !== null && verdict.verdict !== 'rejected',
  );
  if (found === undefined) return fault(`${code} has no accepted calibration.`, 'Calibrate it first.');
  const points = found.draft.points.map(({ applied, raw, direction }) => ({
    appliedKpa: applied,
    raw,
    direction,
  }));
  return done({
    sensor: code,
    hand,
    rangeKpa: 15,
    rawUnit: 'counts',
    rawMin: 0,
    rawMax: 65535,
    calibration: {
      id: found.id,
      at: found.at,
      verdict: 'accepted',
      points,
      reference: { scale: 0, zeroKpa: 0 },
    },
  });
}

/** A plain table with semicolons: no quotes, no comments. */
function tableOf(text: string) {
  const [header, ...rows] = text
    .trim()
    .split('\n')
    .map((line) => line.split(';'));
  return {
    file: 'The table',
    header: header!,
    rows: rows.map((cells, index) => ({ line: index + 2, cells })),
    unclosed: [],
    decimalComma: true,
  };
}
