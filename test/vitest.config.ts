import { fileURLToPath } from 'node:url';
import { svelte } from '@sveltejs/vite-plugin-svelte';
import { defineConfig } from 'vitest/config';

const root = fileURLToPath(new URL('..', import.meta.url));
const fakeElectron = fileURLToPath(new URL('main/hosts/fake-electron.ts', import.meta.url));

export default defineConfig({
  root,
  test: {
    // Two cores are common on a lab's machine, and enough.
    maxWorkers: 2,
    projects: [
      {
        root,
        resolve: { alias: { electron: fakeElectron } },
        test: {
          name: 'unit',
          environment: 'node',
          include: ['test/{core,main,reference,lint}/**/*.test.ts'],
          testTimeout: 120_000,
        },
      },
      {
        root,
        plugins: [svelte()],
        resolve: { conditions: ['browser'] },
        test: {
          name: 'renderer',
          environment: 'jsdom',
          include: ['test/renderer/**/*.test.ts'],
          setupFiles: ['test/renderer/setup.ts'],
          testTimeout: 180_000,
        },
      },
      {
        root,
        test: {
          name: 'browser',
          environment: 'node',
          include: ['test/browser/**/*.test.ts'],
          globalSetup: ['test/browser/setup.ts'],
          expect: { poll: { timeout: 60_000 } },
          testTimeout: 300_000,
          hookTimeout: 300_000,
        },
      },
    ],
  },
});
