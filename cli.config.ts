/** The command line as few files, so that it starts at once: `main/start/bundle.ts` asks for it and says where to. */
import { relative, sep } from 'node:path';
import { fileURLToPath } from 'node:url';
import { defineConfig, type Plugin } from 'vite';

const here = (path: string) => fileURLToPath(new URL(path, import.meta.url));

/** Writes down which files went in: the bundle is good as long as these are what they were. */
const sources: Plugin = {
  name: 'sources',
  generateBundle() {
    const root = here('.');
    const files = [...this.getModuleIds()]
      .map((id) => relative(root, id.split('?')[0]!).split(sep).join('/'))
      .filter((path) => /^(?:core|main)\//.test(path));
    this.emitFile({ type: 'asset', fileName: 'sources.json', source: JSON.stringify(files.sort()) });
  },
};

export default defineConfig({
  plugins: [sources],
  ssr: { noExternal: true, external: ['better-sqlite3', 'serialport'] },
  build: {
    ssr: true,
    target: 'node24',
    rollupOptions: {
      input: {
        lanebench: here('main/cli/lanebench.ts'),
        filmworker: here('main/files/filmworker.ts'),
        traceworker: here('main/lab/kept/traceworker.ts'),
      },
      output: { entryFileNames: '[name].js', chunkFileNames: '[name]-[hash].js' },
    },
  },
});
