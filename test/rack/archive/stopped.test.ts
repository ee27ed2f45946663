import { mkdirSync, readdirSync, statSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { expect, test } from 'vitest'
import { makeArchive } from '../../../electron/rack/archive/make-archive.ts'
import { unpackArchive } from '../../../electron/rack/archive/unpack-archive.ts'
import { storeOriginal } from '../../../electron/rack/disk/photo-store.ts'
import type { Rack } from '../../../electron/rack/opening/open.ts'
import { freshFolder, freshRack } from '../fresh.ts'

/** Stopped at every stage, an archive or a rack that is being made leaves nothing; it is there whole, or not at all. */

async function rackWithFiles(count: number, bytes: number): Promise<Rack> {
  const rack = await freshRack()
  for (let i = 0; i < count; i++) {
    const path = join(rack.folder, '..', `photo-${i}.jpg`)
    writeFileSync(path, Buffer.concat([Buffer.from([0xff, 0xd8, 0xff]), Buffer.alloc(bytes, i + 1)]))
    await storeOriginal(rack.folder, path, 'jpeg')
  }
  return rack
}

const usual = { replace: false, history: true, madeBy: '0.0.0' }

/** Stops at the nth report of progress. */
const stopping = (nth: number) => {
  const abort = new AbortController()
  let reports = 0
  return {
    signal: abort.signal,
    onProgress: () => {
      if (++reports === nth) abort.abort('cancelled')
    },
    reports: () => reports,
  }
}

test('an archive', async () => {
  const rack = await rackWithFiles(6, 300_000)
  const out = freshFolder()
  const workFolder = join(freshFolder(), 'work')
  const target = join(out, 'x.overground.zip')
  const whole = stopping(Number.POSITIVE_INFINITY)
  await makeArchive(rack, { ...usual, target: join(freshFolder(), 'x.overground.zip'), workFolder, ...whole })
  for (let nth = 1; nth <= whole.reports(); nth += 3) {
    const stop = stopping(nth)
    await expect(makeArchive(rack, { ...usual, target, workFolder, ...stop })).rejects.toBe('cancelled')
    expect([readdirSync(out), readdirSync(workFolder)]).toEqual([[], []])
  }
}, 30_000)

test('a rack', async () => {
  const rack = await rackWithFiles(6, 300_000)
  const path = join(freshFolder(), 'x.overground.zip')
  await makeArchive(rack, { ...usual, target: path, workFolder: join(freshFolder(), 'work'), ...stopping(0) })
  const place = freshFolder()
  const prove = () => Promise.resolve()
  const whole = stopping(Number.POSITIVE_INFINITY)
  await unpackArchive({ path, folder: join(place, 'whole'), prove, ...whole })
  for (let nth = 1; nth <= whole.reports(); nth += 2) {
    const stop = stopping(nth)
    await expect(unpackArchive({ path, folder: join(place, 'new'), prove, ...stop })).rejects.toBe('cancelled')
    expect(readdirSync(place)).toEqual(['whole'])
  }
  const refused = () => Promise.reject(new Error('not proved'))
  await expect(unpackArchive({ path, folder: join(place, 'new'), prove: refused, ...stopping(0) })).rejects.toThrow(
    'not proved',
  )
  expect(readdirSync(place)).toEqual(['whole'])
  // an empty folder that was there stays
  mkdirSync(join(place, 'empty'))
  await expect(unpackArchive({ path, folder: join(place, 'empty'), prove: refused, ...stopping(0) })).rejects.toThrow(
    'not proved',
  )
  expect(statSync(join(place, 'empty')).isDirectory()).toBe(true)
}, 30_000)
