/** Once for all journeys: the screens built, and one browser, in which every journey has windows of its own. */
import type { TestProject } from 'vitest/node';
import { ensureBuilt } from '../../main/start/build.ts';
import { missingBrowser, ROOT, serveBrowser } from './app.ts';

declare module 'vitest' {
  interface ProvidedContext {
    /** Where the browser takes in journeys; null where there is none. */
    browser: string | null;
  }
}

/** Gives what ends it all. */
export async function setup(project: TestProject): Promise<() => Promise<void>> {
  if (missingBrowser !== null) {
    project.provide('browser', null);
    return async () => {};
  }
  const fault = await ensureBuilt(ROOT, () => {});
  if (fault !== null) throw new Error(fault);
  const browser = await serveBrowser();
  project.provide('browser', browser.wsEndpoint());
  return () => browser.close();
}
