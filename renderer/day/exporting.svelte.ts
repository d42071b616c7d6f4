/** Writing a day with everything decided on it as a day folder: into which place, under which name, and what came. */
import type { LabClient, LabError } from '../../core/contract.ts';
import { counted } from '../format.ts';

/** A path with a folder's name added, by the slashes that the path has. */
export function pathWithin(folder: string, name: string): string {
  const slash = folder.includes('\\') && !folder.includes('/') ? '\\' : '/';
  return folder.endsWith(slash) ? `${folder}${name}` : `${folder}${slash}${name}`;
}

/** What is wrong with a new folder's name; null where nothing is. */
export function nameFault(name: string): string | null {
  if (name.trim() === '') return 'The new folder needs a name.';
  if (/[\\/:*?"<>|]/.test(name) || /^\.+$/.test(name.trim()))
    return 'A folder’s name takes no \\ / : * ? " < > | and is more than dots.';
  return null;
}

export class DayExport {
  readonly #client: LabClient;
  readonly #day: number;
  name = $state('');
  #problem = $state.raw<LabError | null>(null);
  #wrote = $state<string | null>(null);
  #writing = $state(false);

  constructor(client: LabClient, day: number, name: string) {
    this.#client = client;
    this.#day = day;
    this.name = name;
  }

  get fault(): string | null {
    return nameFault(this.name);
  }

  /** Why the day was not written. */
  get problem(): LabError | null {
    return this.#problem;
  }

  /** What was written, and where; null before. */
  get wrote(): string | null {
    return this.#wrote;
  }

  get writing(): boolean {
    return this.#writing;
  }

  /** Writes the day into a new folder within a place. */
  async into(folder: string): Promise<void> {
    if (this.fault !== null || this.#writing) return;
    this.#writing = true;
    this.#problem = null;
    this.#wrote = null;
    const path = pathWithin(folder, this.name.trim());
    const outcome = await this.#client('days.export', { day: this.#day, path });
    this.#writing = false;
    if (outcome.ok) this.#wrote = `${counted(outcome.value.files, 'file')} written to ${outcome.value.path}.`;
    else this.#problem = outcome.error;
  }
}
