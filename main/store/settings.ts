/** Settings of the lab folder: text by key. */
import type { Outcome } from '../../core/base/refusal.ts';
import type { ReadableDb, WritableDb } from './database.ts';
import { attempt, type StoreError } from './errors.ts';

interface Setting {
  readonly text: string;
  readonly who: string;
  /** ISO 8601 instant at which it was set. */
  readonly at: string;
}

export interface SettingReading {
  readonly getSetting: (key: string) => Setting | null;
}

export interface SettingWriting {
  readonly setSetting: (key: string, text: string, who: string, at: string) => Outcome<null, StoreError>;
}

export function settingReading(db: ReadableDb): SettingReading {
  return {
    getSetting: (key) => db.get<Setting>('SELECT text, who, at FROM setting WHERE key = ?', key) ?? null,
  };
}

export function settingWriting(db: WritableDb, folder: string): SettingWriting {
  return {
    setSetting: (key, text, who, at) =>
      attempt(folder, () =>
        db.transaction(() => {
          db.run(
            `INSERT INTO setting (key, text, who, at) VALUES (?, ?, ?, ?)
             ON CONFLICT (key) DO UPDATE SET text = excluded.text, who = excluded.who, at = excluded.at`,
            key,
            text,
            who,
            at,
          );
          return null;
        }),
      ),
  };
}
