import { fileURLToPath } from 'node:url'
import react from '@vitejs/plugin-react'
import { defineConfig } from 'vitest/config'

const root = fileURLToPath(new URL('..', import.meta.url))

export default defineConfig({
  root,
  test: {
    projects: [
      {
        root,
        test: {
          name: 'node',
          environment: 'node',
          include: ['test/{published,unit,contract,rack,faults}/**/*.test.ts'],
          setupFiles: ['test/fixed-seed.ts'],
          testTimeout: 30_000,
          maxWorkers: '100%',
        },
      },
      {
        root,
        plugins: [react()],
        test: {
          name: 'renderer',
          environment: 'happy-dom',
          setupFiles: ['test/fixed-seed.ts'],
          include: ['test/renderer/**/*.test.{ts,tsx}'],
          maxWorkers: '100%',
        },
      },
      {
        root,
        test: {
          name: 'e2e',
          environment: 'node',
          include: ['test/e2e/**/*.test.ts'],
          testTimeout: 90_000,
          hookTimeout: 90_000,
          fileParallelism: false,
          // alone on the machine, after the others
          sequence: { groupOrder: 1 },
        },
      },
    ],
  },
})
