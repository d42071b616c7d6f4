/** What holds a swimmer beside the days themselves: releases, which are never altered, and backups in other places. */
import { existsSync } from 'node:fs';
import { readFile } from 'node:fs/promises';
import { columnsOf } from '../../../core/day/tables.ts';
import { parseTextTable } from '../../files/texttable.ts';
import { backupsMade } from '../days/backup.ts';
import type { Session } from '../kept/session.ts';

/** The releases that hold one of these days with the swimmer in it, oldest first, by name. */
export async function releasesWith({ store }: Session, participant: string): Promise<readonly string[]> {
  const names: string[] = [];
  for (const { name } of store.releases()) {
    const tables = store.releaseFiles(name, 'days/').filter(({ path }) => path.endsWith('/participants.csv'));
    for (const { sha256 } of tables) {
      if (!store.hasRaw(sha256)) continue;
      const parsed = parseTextTable(
        await readFile(store.rawPath(sha256), 'utf8'),
        'participants.csv',
        columnsOf('roster'),
      );
      if (!parsed.ok) continue;
      const place = parsed.value.header.indexOf('participant');
      if (![...parsed.value.rows].some(({ cells }) => cells[place] === participant)) continue;
      names.push(name);
      break;
    }
  }
  return names;
}

/** Backups that were made from here, and whether each can be reached now. */
export function knownBackups(
  session: Session,
): readonly { readonly folder: string; readonly isThere: boolean }[] {
  return backupsMade(session).map(({ folder }) => ({ folder, isThere: existsSync(folder) }));
}
