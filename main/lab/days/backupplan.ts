/** Backups that the program makes by itself, every so many days, while it runs. */
import type { BackupPlan } from '../../../core/contract/contract.ts';
import type { LabError } from '../../../core/base/refusal.ts';
import { done, type Outcome } from '../../../core/base/refusal.ts';
import type { Jobs } from '../kept/jobs.ts';
import { now, operatorOf, storeFault, type Session } from '../kept/session.ts';
import { BACKUP_PLAN_SHAPE } from '../shapes/settings.ts';
import { KeptFault, readText } from '../shapes/shape.ts';
import { backUpIn, lastBackup, placeOutside } from './backup.ts';

const PLAN = 'backup.plan';
/** How often it is looked whether a backup is due, ms. */
const LOOK_MS = 3_600_000;
const DAY_MS = 86_400_000;

/** Null where none was made, or it cannot be read. */
export function backupPlan({ store }: Session): BackupPlan | null {
  const saved = store.getSetting(PLAN);
  if (saved === null) return null;
  try {
    return readText(BACKUP_PLAN_SHAPE, saved.text, 'setting backup.plan');
  } catch (caught) {
    if (caught instanceof KeptFault) return null;
    throw caught;
  }
}

export async function planBackup(
  session: Session,
  plan: BackupPlan | null,
): Promise<Outcome<null, LabError>> {
  if (plan !== null) {
    const place = await placeOutside(session, plan.path);
    if (!place.ok) return place;
  }
  const saved = session.store.setSetting(PLAN, JSON.stringify(plan), operatorOf(session), now());
  return saved.ok ? done(null) : storeFault(saved.error);
}

/** True where the plan asks for a backup at that moment, ms since 1970. */
export function isDue(plan: BackupPlan | null, lastAt: string | null, atMs: number): boolean {
  if (plan === null) return false;
  return lastAt === null || atMs - Date.parse(lastAt) >= plan.everyDays * DAY_MS;
}

/** Looks now and every hour whether a backup is due, and makes it as a job; one that fails is tried the next hour. */
export function backupsByThemselves(session: Session, jobs: Jobs): { readonly end: () => void } {
  if (session.store.readOnly !== null) return { end: () => undefined };
  const look = () => {
    const plan = backupPlan(session);
    if (plan === null || !isDue(plan, lastBackup(session)?.at ?? null, Date.now())) return;
    jobs.start('Backing up the lab folder, as planned', (progress) => backUpIn(session, plan.path, progress));
  };
  look();
  const timer = setInterval(look, LOOK_MS);
  timer.unref();
  return { end: () => clearInterval(timer) };
}
