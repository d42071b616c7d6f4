/**
 * Runs the built main process under Node with the fake in Electron's place, plays the page, and prints what it met.
 * Arguments: the built main.js. DRIVE_CALLS: further calls of the contract as JSON, [name, input] each; DRIVE_FETCH: an
 * address to fetch.
 */
import { existsSync } from 'node:fs';
import { createRequire, registerHooks } from 'node:module';
import { pathToFileURL } from 'node:url';
import * as fake from './fake-electron.ts';

const electron = new URL('fake-electron.ts', import.meta.url).href;
registerHooks({
  resolve: (name, context, next) =>
    name === 'electron' ? { url: electron, shortCircuit: true } : next(name, context),
});

await import(pathToFileURL(process.argv[2] ?? '').href);
while (fake.BrowserWindow.all.length === 0 && fake.app.exits.length === 0) {
  await new Promise((resolve) => setTimeout(resolve, 20));
}
const [window] = fake.BrowserWindow.all;
const preload = String(window?.options.webPreferences['preload']);
if (existsSync(preload)) createRequire(import.meta.url)(preload);
const call = (name: string, input: unknown) => fake.world.get('lanebench')?.['call']?.(name, input);
const page = await fake.protocol.fetch(new Request('lanebench://app/'));
const html = await page.text();
const script = /src="\.?([^"]+\.js)"/.exec(html)?.[1] ?? '/none';
const asked: unknown[] = [];
for (const [name, input] of JSON.parse(process.env['DRIVE_CALLS'] ?? '[]') as [string, unknown][])
  asked.push(await call(name, input));
const address = process.env['DRIVE_FETCH'];
const met = {
  asked,
  fetched:
    address === undefined
      ? null
      : (await (await fake.protocol.fetch(new Request(`lanebench://app${address}`))).arrayBuffer())
          .byteLength,
  loaded: window?.loaded,
  preload: existsSync(preload),
  errors: fake.dialog.errors,
  describe: await call('app.describe', {}),
  badInput: await call('days.get', { day: 'x' }),
  page: page.status,
  inlineScripts: /<script(?![^>]*\bsrc=)/.test(html),
  script: (await fake.protocol.fetch(new Request(`lanebench://app${script}`))).status,
  film: (await fake.protocol.fetch(new Request('lanebench://app/film/1/none/A'))).status,
};
const ended = new Promise((resolve) => fake.app.once('quit', resolve));
fake.app.quit();
await ended;
console.log(JSON.stringify(met));
