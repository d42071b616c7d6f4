/** The app in a browser window, or behind a link: from an open lab folder to its end. */
import { sayBug } from '../lab/kept/saybug.ts';
import { join } from 'node:path';
import { processLives, type Holder } from '../lab/lock.ts';
import { takeLockOrLook, windowPlace } from '../lab/looking.ts';
import { alreadyOpen, openingFault, type OpenLab } from '../lab/opening.ts';
import type { Lab } from '../lab/kept/port.ts';
import { makeRespond, type Respond } from '../lab/answer/respond.ts';
import { dayFragment, findSampleFolder, openSampleDay } from '../lab/sample.ts';
import { askForLink, type DoorAnswer } from '../loopback/door.ts';
import { printPdf } from '../loopback/pdf.ts';
import { openLoopback, type Loopback } from '../loopback/server.ts';
import { showWindow } from '../loopback/window.ts';

export interface ServeOptions {
  readonly root: string;
  readonly home: string;
  readonly version: string;
  readonly sample: boolean;
  /** The browser for the window; null to show a link only. */
  readonly browser: string | null;
  /** The browser that prints certificates; left out where none is to be used. */
  readonly printer?: string;
  readonly openLab: OpenLab;
  /** Builds the screens where needed; null, or why it could not. */
  readonly build: () => Promise<string | null>;
  readonly say: (line: string) => void;
  /** Ends everything when aborted. */
  readonly signal: AbortSignal;
}

/** Serves until the window is closed or the signal comes; gives the process's exit status. */
export async function serve(options: ServeOptions): Promise<number> {
  const { say, home } = options;
  const lab = Promise.withResolvers<Respond>();
  lab.promise.catch(() => {});
  const onBug = sayBug;
  const loopback = await openLoopback({ respond: async (request) => (await lab.promise)(request), onBug });
  try {
    let running: DoorAnswer = { kind: 'gone' };
    const lock = await takeLockOrLook(home, loopback.door, async (by: Holder) => {
      if (by.door === null) return processLives(by);
      running = await askForLink(by.door);
      return running.kind !== 'gone';
    });
    if (lock.kind === 'held') return await joinRunning(options, lock.holder, lock.file, running);
    try {
      const fault = await options.build();
      // Ctrl-C reaches the builder too; a build ended so is no fault.
      if (options.signal.aborted) return 0;
      if (fault !== null) {
        say(fault);
        return 1;
      }
      return await serveLab(options, loopback, lab.resolve);
    } finally {
      await lock.release();
    }
  } catch (error) {
    say(openingFault(error, home));
    return 1;
  } finally {
    await loopback.close();
  }
}

async function serveLab(
  options: ServeOptions,
  loopback: Loopback,
  ready: (respond: Respond) => void,
): Promise<number> {
  const { root, home, version, say, printer } = options;
  const printing = printer === undefined ? {} : { printPdf: (html: string) => printPdf(printer, html) };
  const lab = await options.openLab({ home, sampleFolder: findSampleFolder(root), version, ...printing });
  try {
    const fragment = options.sample ? await sampleFragment(lab, say) : '';
    const rendererFolder = join(root, 'out', 'renderer');
    ready(makeRespond({ lab, rendererFolder, calls: true, onBug: sayBug }));
    await untilEnd(options, loopback, fragment);
    return 0;
  } finally {
    await lab.close();
  }
}

async function sampleFragment(lab: Lab, say: (line: string) => void): Promise<string> {
  const opened = await openSampleDay(lab);
  if (opened.ok) return dayFragment(opened.value);
  say(`The sample day could not be opened. ${opened.error.says} ${opened.error.todo}`);
  return '';
}

async function untilEnd(options: ServeOptions, loopback: Loopback, fragment: string): Promise<void> {
  const { browser, say, signal, home } = options;
  if (signal.aborted) return;
  if (browser !== null) {
    const link = loopback.newLink(fragment);
    const profile = windowPlace(home, 'window');
    const end = await showWindow({ browser, link, profile, entered: loopback.entered, signal });
    if (end === 'closed') return;
    say(
      end === 'failed'
        ? `The browser window did not open (${browser}).`
        : 'The window belongs to a browser that was already running. Press Ctrl-C here when you are done.',
    );
    if (end === 'handed over') return untilAborted(signal);
  }
  say(
    `Open this link in a browser on this computer; it works once:\n\n  ${loopback.newLink(fragment)}\n\n` +
      'Keep this running. Ctrl-C ends it; "npm start" in another terminal gives another link.',
  );
  await untilAborted(signal);
}

function untilAborted(signal: AbortSignal): Promise<void> {
  if (signal.aborted) return Promise.resolve();
  // A pending signal alone does not keep the process; the listening server does.
  return new Promise((resolve) => signal.addEventListener('abort', () => resolve(), { once: true }));
}

async function joinRunning(
  options: ServeOptions,
  holder: Holder,
  file: string,
  running: DoorAnswer,
): Promise<number> {
  const { say, browser, home, signal } = options;
  if (running.kind !== 'link') {
    say(alreadyOpen(home, holder.pid, file));
    return 0;
  }
  if (browser === null) {
    say(
      `Lanebench is already open on this lab folder. Here is another link to it; it works once:\n\n  ${running.link}\n`,
    );
    return 0;
  }
  say('Lanebench is already open on this lab folder; opening another window on it.');
  // The running program's browser takes the window over, so how it ends is not ours to judge.
  await showWindow({
    browser,
    link: running.link,
    profile: windowPlace(home, 'window'),
    entered: Promise.resolve(),
    signal,
  });
  return 0;
}
