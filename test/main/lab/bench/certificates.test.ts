/** The certificate in front of a browser: printed to PDF, and its style sheet let through by the hosts' policy. */
import { createHash } from 'node:crypto';
import { chmod, writeFile } from 'node:fs/promises';
import { homedir } from 'node:os';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { makeRespond } from '../../../../main/lab/answer/respond.ts';
import { canRun, findBrowser } from '../../../../main/loopback/browser.ts';
import { printPdf } from '../../../../main/loopback/pdf.ts';
import { buildDay, tempFolder } from '../../files/day-builder.ts';
import { benchLab } from '../benchlab.ts';

const browser = findBrowser({
  environment: process.env,
  platform: process.platform,
  homedir: homedir(),
  canRun,
});

describe('printing', () => {
  it('makes a PDF with an installed browser', async (context) => {
    if (browser.kind !== 'found') return context.skip('no browser of the Chromium family is installed');
    const bytes = await printPdf(browser.path, '<!doctype html><title>A</title><p>A certificate.</p>');
    // ISO 32000-1, 7.5.2 and 7.5.5: a PDF begins with %PDF- and ends with %%EOF.
    const text = Buffer.from(bytes ?? []).toString('latin1');
    expect(text.startsWith('%PDF-')).toBe(true);
    expect(text.trimEnd().endsWith('%%EOF')).toBe(true);
  });

  it('gives nothing where the browser cannot be run, or takes too long', async (context) => {
    expect(await printPdf('/nowhere/browser', '<p>A</p>')).toBeNull();
    if (process.platform === 'win32') return context.skip('a shell script stands in for a slow browser');
    const slow = join(await tempFolder(), 'slow');
    await writeFile(slow, '#!/bin/sh\nexec sleep 30\n');
    await chmod(slow, 0o755);
    expect(await printPdf(slow, '<p>A</p>', 200)).toBeNull();
  });
});

it('a served certificate carries the policy, which knows its style sheet by hash (CSP 3, 8.2)', async () => {
  const { lab, bring } = await benchLab();
  await bring(await buildDay());
  const rendererFolder = await tempFolder();
  const respond = makeRespond({
    lab,
    rendererFolder,
    calls: false,
    onBug: (error) => expect(error).toBeNull(),
  });
  const answer = await respond(new Request('http://127.0.0.1/certificate/1.html'));
  expect(answer.status).toBe(200);
  const style = /<style>([^]*?)<\/style>/.exec(await answer.text())?.[1] ?? '';
  const hash = createHash('sha256').update(style).digest('base64');
  expect(answer.headers.get('content-security-policy')).toContain(`style-src 'self' 'sha256-${hash}'`);
  expect((await respond(new Request('http://127.0.0.1/certificate/1.pdf'))).status).toBe(404);
  expect((await respond(new Request('http://127.0.0.1/certificate/x.html'))).status).toBe(404);
});
