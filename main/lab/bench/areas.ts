/** Hand areas of a day's swimmers: what the roster gives, and what a person keeps in its place. */
import { isDeepStrictEqual } from 'node:util';
import type { DayAreasView, HandAreaView } from '../../../core/contract/bench.ts';
import type { LabError } from '../../../core/base/refusal.ts';
import { HANDS, type Hand } from '../../../core/base/hand.ts';
import type { RosterRow } from '../../../core/day/tables.ts';
import { areaDoubt, estimatedArea, type HandArea } from '../../../core/force/handarea.ts';
import { done, failed, type Outcome } from '../../../core/base/refusal.ts';
import { figures } from '../../../core/base/words.ts';
import { AREA, areaKey, decidedOn } from '../kept/decided.ts';
import { decide } from '../kept/decide.ts';
import type { Session } from '../kept/session.ts';
import { keptDay, type KeptDay } from '../kept/keptday.ts';

export async function viewAreas(session: Session, id: number): Promise<Outcome<DayAreasView, LabError>> {
  const day = await keptDay(session, id);
  return day.ok ? done({ day: id, areas: areaViews(session, day.value) }) : day;
}

function areaViews(session: Session, { row, own }: KeptDay): readonly HandAreaView[] {
  const { areas } = decidedOn(session, row.id);
  return own.roster.flatMap((swimmer) =>
    HANDS.map((hand) => ({
      participant: swimmer.participant,
      hand,
      rosterCm2: swimmer[`${hand}_hand_area_cm2`],
      rosterUCm2: swimmer[`${hand}_hand_area_u_cm2`] ?? swimmer.hand_area_u_cm2,
      kept: areas.get(swimmer.participant)?.[hand] ?? null,
      heightCm: swimmer.height_cm,
      massKg: swimmer.mass_kg,
      ageYears: ageOn(own.day.date, swimmer),
    })),
  );
}

/** The most years a swimmer can have on the day: the roster knows the year of birth only. */
function ageOn(date: string | null, { birth_year: born }: RosterRow): number | null {
  return date === null || born === null ? null : Number(date.slice(0, 4)) - born;
}

/** Keeps a hand area for a swimmer of a day; null takes back to what the roster says. */
export async function keepArea(
  session: Session,
  wish: {
    readonly day: number;
    readonly participant: string;
    readonly hand: Hand;
    readonly area: HandArea | null;
    readonly seen: HandArea | null;
    /** True where a person said that an unusual area is right. */
    readonly sure?: boolean | undefined;
  },
): Promise<Outcome<DayAreasView, LabError>> {
  const { participant, hand, area, seen } = wish;
  const day = await keptDay(session, wish.day);
  if (!day.ok) return day;
  const stands = areaViews(session, day.value).find(
    (view) => view.participant === participant && view.hand === hand,
  );
  if (stands === undefined)
    return failed({
      code: 'not_found',
      says: `The day ${day.value.row.day} has no swimmer ${participant}.`,
      todo: 'Choose a swimmer of the day.',
    });
  if (!isDeepStrictEqual(stands.kept, seen))
    return failed({
      code: 'changed_meanwhile',
      says: `Another window has changed the ${hand} hand area of ${participant} meanwhile.`,
      todo: 'Look at what stands there now, then keep it again.',
    });
  const fault = (area?.method === 'estimated' ? estimateFault(stands) : null) ?? doubtOf(area, wish.sure);
  if (fault !== null) return failed(fault);
  const decided = decide(session, {
    day: wish.day,
    trial: null,
    subject: AREA,
    key: areaKey(participant, hand),
    after: area,
    says:
      area === null
        ? `Area of the ${hand} hand of ${participant} back to what roster.csv says`
        : `Area of the ${hand} hand of ${participant}: ${figures(area.cm2, 4)} cm², ${area.method}`,
  });
  return decided.ok ? viewAreas(session, wish.day) : decided;
}

/** Why an area is not kept: no hand has it, or few have and nobody has said that it is right. */
function doubtOf(area: HandArea | null, sure: boolean | undefined): LabError | null {
  const doubt = area === null ? null : areaDoubt(area.cm2);
  if (doubt === null || (doubt.kind === 'ask' && sure === true)) return null;
  return { code: 'bad_input', says: doubt.says, todo: doubt.todo };
}

/** An adult of common size, where the roster leaves size out: the age alone is then looked at. */
const COMMON = { heightCm: 170, massKg: 65 } as const;

/** Why a swimmer’s hands cannot be estimated: children, and people of unknown age, are measured. */
function estimateFault({ heightCm, massKg, ageYears }: HandAreaView): LabError | null {
  const estimate = estimatedArea(heightCm ?? COMMON.heightCm, massKg ?? COMMON.massKg, ageYears);
  return estimate.ok ? null : { code: 'bad_input', says: estimate.error.says, todo: estimate.error.todo };
}
