import { join } from 'node:path'
import { expect, test, vi } from 'vitest'
import { savePanel } from '../../electron/rack/queries/panels.ts'
import { takeInPhoto } from '../../electron/service/take-in.ts'
import { draft, freshFolder, freshRack, photoFile } from '../rack/fresh.ts'
import { restoreDrill } from './restore-drill.ts'

// processes and threads start slowly on a machine that is busy with other tests
vi.setConfig({ testTimeout: 120_000 })

/** Backups are worth what coming back from them is worth: one drill of six; `npm run faults` does them all. */
test.each(['records overwritten here and there'] as const)(
  '%s: photos byte by byte and tables row by row are as they were',
  async (disaster) => {
    const rack = await freshRack()
    for (const title of ['A', 'B', 'C'])
      await rack.change({ label: 'add' }, (change) => savePanel(change, draft({ title })))
    for (const seed of [1, 2])
      await takeInPhoto(rack, await photoFile(join(freshFolder(), `${seed}.jpg`), seed), `${seed}.jpg`)
    await rack.close()
    const drill = await restoreDrill(rack.folder, 11, freshFolder(), disaster)
    expect(drill.different).toEqual([])
    expect(drill).toMatchObject({ disaster, photos: 2 })
    expect(drill.rows).toBeGreaterThan(30)
  },
)
