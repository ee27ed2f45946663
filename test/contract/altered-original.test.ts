import { chmodSync, readFileSync, statSync, utimesSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { expect, test } from 'vitest'
import { originalPath } from '../../electron/rack/disk/photo-store.ts'
import { draft } from '../rack/fresh.ts'
import { benchService } from './bench-service.ts'
import { layoutFor, noHelp, panelPhoto } from './panel-photo.ts'

test('no colour is read from an original that its drive has altered, and taken in once more it is whole again', async () => {
  const service = await benchService()
  const { call, ended, refusal, folder } = service
  await call('rack.create', { folder: join(folder, 'rack'), name: 'Bench' })
  const { panel } = await call('panels.save', { draft: draft() })
  const files = [{ path: await panelPhoto(join(folder, 'a.png')), name: 'a.png' }]
  const { jobId } = await call('photos.takeIn', { files })
  const photoId = (await ended(jobId)).items[0]?.photoId ?? ''
  const ask = { photoId, layout: layoutFor(panel.steps[0]?.id ?? ''), ...noHelp }
  const before = await call('photos.read', ask)

  const { photo } = await call('photos.get', { photoId })
  const path = originalPath(join(folder, 'rack'), photo.sha256, photo.format)
  const { mtime, atime } = statSync(path)
  const bytes = readFileSync(path)
  // in a part that says how the picture is to be shown: it is decoded all the same
  bytes[bytes.length - 20] = (bytes[bytes.length - 20] ?? 0) ^ 4
  chmodSync(path, 0o644)
  writeFileSync(path, bytes)
  utimesSync(path, atime, new Date(mtime.getTime() + 1000))
  expect(await refusal('photos.read', ask)).toMatchObject({
    code: 'photo/original-missing',
    message: expect.stringContaining('no longer as it was taken in'),
  })

  await ended((await call('photos.takeIn', { files })).jobId)
  expect(await call('photos.read', ask)).toEqual(before)
})
