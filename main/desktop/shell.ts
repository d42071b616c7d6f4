/** The desktop host: one process, one window, one lab folder. */
import { sayBug } from '../lab/kept/saybug.ts';
import { mkdirSync } from 'node:fs';
import { join } from 'node:path';
import { app, dialog, session, type BrowserWindow } from 'electron';
import { takeLockOrLook, windowPlace } from '../lab/looking.ts';
import { alreadyOpen, openingFault, type OpenLab } from '../lab/opening.ts';
import type { Lab } from '../lab/kept/port.ts';
import { makeRespond } from '../lab/answer/respond.ts';
import { dayFragment, findSampleFolder, openSampleDay } from '../lab/sample.ts';
import { answerCalls } from './calls.ts';
import { guardPages, guardSession } from './guard.ts';
import { setMenu } from './menu.ts';
import { printPdf } from './pdf.ts';
import { answerScheme, claimScheme } from './scheme.ts';
import { openWindow } from './window.ts';

export interface ShellOptions {
  /** The program's folder: holds `out` and `sample-sessions`. */
  readonly root: string;
  readonly home: string;
  readonly version: string;
  readonly sample: boolean;
  readonly openLab: OpenLab;
}

const onBug = sayBug;

/** Resolves when the window is open, or when it is clear that there will be none. */
export async function runShell(options: ShellOptions): Promise<void> {
  const { home } = options;
  // Until the first await: what must be settled before Electron is ready.
  claimScheme();
  app.enableSandbox();
  guardPages();
  try {
    mkdirSync(home, { recursive: true });
    app.setPath('userData', windowPlace(home, 'desktop'));
  } catch (error) {
    return giveUp(openingFault(error, home));
  }
  if (!app.requestSingleInstanceLock()) {
    console.log('Lanebench is already open on this lab folder; its window comes to the front.');
    app.quit();
    return;
  }
  await app.whenReady();
  try {
    const lock = await takeLockOrLook(home, null);
    if (lock.kind === 'held') return giveUp(alreadyOpen(home, lock.holder.pid, lock.file), 0);
    try {
      await openApp(options, lock.release);
    } catch (error) {
      await lock.release();
      throw error;
    }
  } catch (error) {
    giveUp(openingFault(error, home));
  }
}

async function openApp(options: ShellOptions, release: () => Promise<void>): Promise<void> {
  const { root, home, version } = options;
  const lab = await options.openLab({ home, sampleFolder: findSampleFolder(root), version, printPdf });
  endInOrder(lab, release);
  guardSession(session.defaultSession);
  answerScheme(makeRespond({ lab, rendererFolder: join(root, 'out', 'renderer'), calls: false, onBug }));
  answerCalls(lab, onBug);
  setMenu();
  const fragment = options.sample ? await sampleFragment(lab) : '';
  const window = openWindow({ home, preload: join(root, 'out', 'preload', 'preload.cjs'), fragment });
  app.on('second-instance', () => bringForward(window));
}

/** The lab is closed before the process ends; the window alone keeps the app open, on every platform. */
function endInOrder(lab: Lab, release: () => Promise<void>): void {
  let closed = false;
  app.on('window-all-closed', () => app.quit());
  app.on('will-quit', (event) => {
    if (closed) return;
    event.preventDefault();
    closed = true;
    void lab
      .close()
      .catch(onBug)
      .then(release)
      .catch(onBug)
      .then(() => app.quit());
  });
}

async function sampleFragment(lab: Lab): Promise<string> {
  const opened = await openSampleDay(lab);
  if (opened.ok) return dayFragment(opened.value);
  dialog.showErrorBox('The sample day could not be opened', `${opened.error.says} ${opened.error.todo}`);
  return '';
}

function bringForward(window: BrowserWindow): void {
  if (window.isDestroyed()) return;
  if (window.isMinimized()) window.restore();
  window.focus();
}

function giveUp(text: string, status = 1): void {
  console.error(text);
  dialog.showErrorBox('Lanebench cannot open', text);
  app.exit(status);
}
