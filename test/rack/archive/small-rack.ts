import { mkdirSync, readFileSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import Database from 'better-sqlite3'
import { makeArchive } from '../../../electron/rack/archive/make-archive.ts'
import { storeOriginal } from '../../../electron/rack/disk/photo-store.ts'
import { createRack } from '../../../electron/rack/opening/open.ts'
import { savePanel } from '../../../electron/rack/queries/panels.ts'
import { addPhoto } from '../../../electron/rack/queries/photos.ts'
import { draft, newPhoto } from '../fresh.ts'
import { sha256 } from './right-files.ts'

/** The records of a rack with a panel, and one photo of so many bytes. */
export async function smallRack(folder: string, photo = Buffer.from([0xff, 0xd8, 0xff, 1, 2, 3])) {
  mkdirSync(folder, { recursive: true })
  const file = join(folder, 'photo.jpg')
  writeFileSync(file, photo)
  const rack = await createRack(join(folder, 'rack'), 'Small rack')
  await storeOriginal(rack.folder, file, 'jpeg')
  await rack.change({ label: 'fill' }, async (change) => {
    await savePanel(change, draft())
    await addPhoto(
      change,
      newPhoto('0190a000-0000-7000-8000-000000000001', { sha256: sha256(photo), byteCount: photo.length }),
    )
  })
  const target = join(folder, 'small.overground.zip')
  await makeArchive(rack, {
    target,
    replace: false,
    history: true,
    madeBy: '0.0.0',
    workFolder: join(folder, 'work'),
    onProgress: () => undefined,
    signal: new AbortController().signal,
  })
  await rack.close()
  const records = readFileSync(join(rack.folder, 'rack.sqlite'))
  return { archive: target, records, photo }
}

/** The records after somebody meddled with them. */
export function meddled(folder: string, records: Buffer, work: (raw: Database.Database) => void): Buffer {
  const path = join(folder, `meddled-${Math.random().toString(36).slice(2)}.sqlite`)
  writeFileSync(path, records)
  const raw = new Database(path)
  raw.pragma('journal_mode = DELETE')
  work(raw)
  raw.close()
  return readFileSync(path)
}
