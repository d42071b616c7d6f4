/** A file that grows while it is recorded: what was added is on the disk within a second. */
import { constants } from 'node:fs';
import { access, mkdir, open, rm, type FileHandle } from 'node:fs/promises';
import { dirname } from 'node:path';

/** Longest time until what was added is synced, ms: under the second that may be lost. */
const SYNC_MS = 500;

export class GrowingFile {
  /** Why nothing more can be added; null while it can. */
  fault: NodeJS.ErrnoException | null = null;
  private readonly path: string;
  private readonly onFault: () => void;
  private handle: FileHandle | null = null;
  private waiting: string[] = [];
  private work: Promise<void> = Promise.resolve();
  private isQueued = false;
  private isDirty = false;
  private readonly timer: NodeJS.Timeout;

  /** @param onFault told once, where the disk takes no more */
  constructor(path: string, onFault: () => void) {
    this.path = path;
    this.onFault = onFault;
    this.timer = setInterval(() => this.queue(true), SYNC_MS);
  }

  /** True where the folder can be written to; it is made where it is not there. */
  static async isPossible(path: string): Promise<boolean> {
    try {
      await mkdir(dirname(path), { recursive: true });
      await access(dirname(path), constants.W_OK);
      return true;
    } catch {
      return false;
    }
  }

  /** Adds text whose characters are bytes. The file is made with the first of it, and never written over. */
  add(text: string): void {
    if (text === '') return;
    this.waiting.push(text);
    if (this.isQueued) return;
    this.isQueued = true;
    this.queue(false);
  }

  /** Writes and syncs what is left, and lets go of the file. */
  async close(): Promise<void> {
    clearInterval(this.timer);
    this.queue(true);
    await this.work;
    await this.handle?.close();
  }

  /** Takes the file away again. */
  async remove(): Promise<void> {
    await this.close();
    if (this.handle !== null) await rm(this.path, { force: true });
  }

  private queue(sync: boolean): void {
    this.work = this.work
      .then(() => this.write(sync))
      .catch((error: NodeJS.ErrnoException) => this.fail(error));
  }

  private async write(sync: boolean): Promise<void> {
    if (this.fault !== null) return;
    this.isQueued = false;
    const text = this.waiting.join('');
    this.waiting = [];
    if (text !== '') {
      this.handle ??= await open(this.path, 'wx');
      await this.handle.appendFile(text, 'latin1');
      this.isDirty = true;
    }
    if (sync && this.isDirty) {
      this.isDirty = false;
      await this.handle!.datasync();
    }
  }

  private fail(error: NodeJS.ErrnoException): void {
    if (error.code === undefined) throw error;
    if (this.fault !== null) return;
    this.fault = error;
    this.onFault();
  }
}
