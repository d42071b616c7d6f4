/** Prints a page as PDF in a hidden window. */
import { BrowserWindow } from 'electron';

const LIMIT_MS = 30_000;

/** The page as PDF; null where that did not work within the time limit. The page runs no script. */
export async function printPdf(html: string): Promise<Uint8Array<ArrayBuffer> | null> {
  const window = new BrowserWindow({
    show: false,
    webPreferences: { sandbox: true, contextIsolation: true, nodeIntegration: false, javascript: false },
  });
  const late = Promise.withResolvers<null>();
  const timer = setTimeout(() => late.resolve(null), LIMIT_MS);
  try {
    const printed = window
      .loadURL(`data:text/html;base64,${Buffer.from(html).toString('base64')}`)
      .then(() => window.webContents.printToPDF({ printBackground: true, preferCSSPageSize: true }))
      .then((bytes) => Uint8Array.from(bytes))
      .catch(() => null);
    return await Promise.race([printed, late.promise]);
  } finally {
    clearTimeout(timer);
    window.destroy();
  }
}
