import { readFileSync } from 'node:fs'
import react from '@vitejs/plugin-react'
import { defineConfig } from 'electron-vite'
import type { Plugin } from 'vite'

/** A place of the application has an address with folders in it: electron-vite's own relative base would break there. */
const absoluteAddresses: Plugin = {
  name: 'absolute-addresses',
  enforce: 'post',
  config: (config) => {
    config.base = '/'
  },
}

/** What the door for phones serves besides the page's script, which is an entry of its own. */
const phonePage: Plugin = {
  name: 'phone-page',
  generateBundle() {
    for (const fileName of ['phone.html', 'phone.css'])
      this.emitFile({ type: 'asset', fileName, source: readFileSync(`electron/phone/page/${fileName}`) })
  },
}

/** Three builds: the processes (shell, loopback host, service), the preload that the sandbox loads, and the page. */
export default defineConfig({
  main: {
    plugins: [phonePage],
    build: {
      outDir: 'out/main',
      sourcemap: true,
      rolldownOptions: {
        input: {
          index: 'electron/shell/main.ts',
          loopback: 'electron/loopback/main.ts',
          service: 'electron/service/main.ts',
          'heif-worker': 'electron/photos/heif/heif-worker.ts',
          'propose-worker': 'electron/photos/propose/propose-worker.ts',
          'symbols-worker': 'electron/photos/propose/symbols-worker.ts',
          'backup-worker': 'electron/rack/backups/worker/backup-worker.ts',
          'archive-worker': 'electron/rack/archive/worker/archive-worker.ts',
          'film-worker': 'electron/service/film/worker/film-worker.ts',
          'check-worker': 'electron/rack/check/worker/check-worker.ts',
          'phone-worker': 'electron/phone/phone-worker.ts',
          'phone-page': 'electron/phone/page/main.ts',
          'render-worker': 'electron/service/demonstration/picture/render-worker.ts',
        },
        output: { entryFileNames: '[name].js', chunkFileNames: '[name]-[hash].js' },
      },
    },
  },
  preload: {
    build: {
      outDir: 'out/preload',
      externalizeDeps: false,
      rolldownOptions: {
        input: { index: 'electron/shell/preload.ts' },
        output: { format: 'cjs', entryFileNames: '[name].cjs', chunkFileNames: '[name]-[hash].cjs' },
      },
    },
  },
  renderer: {
    root: 'renderer',
    plugins: [react(), absoluteAddresses],
    build: {
      outDir: 'out/renderer',
      minify: true,
      chunkSizeWarningLimit: 2000,
      rolldownOptions: { input: 'renderer/index.html' },
    },
  },
})
