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
          // machines that do other things besides are slow: a limit only ends what hangs
          testTimeout: 120_000,
          hookTimeout: 120_000,
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
          testTimeout: 60_000,
          maxWorkers: '100%',
        },
      },
      {
        root,
        test: {
          name: 'e2e',
          environment: 'node',
          include: ['test/e2e/**/*.test.ts'],
          testTimeout: 180_000,
          hookTimeout: 180_000,
          fileParallelism: false,
          // alone on the machine, after the others
          sequence: { groupOrder: 1 },
        },
      },
    ],
  },
})
