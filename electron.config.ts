import { fileURLToPath } from 'node:url';
import { svelte } from '@sveltejs/vite-plugin-svelte';
import { defineConfig } from 'electron-vite';

const here = (path: string) => fileURLToPath(new URL(path, import.meta.url));

export default defineConfig({
  main: {
    build: {
      outDir: 'out/main',
      rollupOptions: {
        input: { main: here('main/desktop/main.ts'), filmworker: here('main/files/filmworker.ts') },
        external: ['better-sqlite3'],
      },
    },
  },
  preload: {
    build: {
      outDir: 'out/preload',
      rollupOptions: {
        input: { preload: here('main/desktop/preload.ts') },
        // A sandboxed preload is loaded as a plain script: one CommonJS file.
        output: { format: 'cjs', entryFileNames: '[name].cjs', codeSplitting: false },
      },
    },
  },
  renderer: {
    root: here('renderer'),
    plugins: [svelte()],
    build: { outDir: here('out/renderer'), rollupOptions: { input: here('renderer/index.html') } },
  },
});
