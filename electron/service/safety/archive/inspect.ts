import { open, rm, stat } from 'node:fs/promises'
import { join } from 'node:path'
import { v7 } from 'uuid'
import type { Input } from '../../../../shared-core/contract/calls.ts'
import type { ArchiveFacts } from '../../../../shared-core/records/archive.ts'
import { namesFrom } from '../../../rack/archive/file-words.ts'
import { databaseName } from '../../../rack/archive/form.ts'
import { type Archive, openArchive, verifyAll } from '../../../rack/archive/open-archive.ts'
import { mustBeANewFolder, unpackArchive } from '../../../rack/archive/unpack-archive.ts'
import { askWorker, mostWorkMs } from '../../../rack/archive/worker/ask-worker.ts'
import { noteEvent } from '../../../rack/history/events.ts'
import type { Context } from '../../context.ts'
import { dropStaged } from '../../link/app-folder.ts'
import { mustNotBeBusy } from './make.ts'
import { readyWorkFolder } from './work-folder.ts'

export async function inspectArchive({ current }: Context, path: string): Promise<ArchiveFacts> {
  const archive = await openArchive(path)
  try {
    return factsOf(archive, current.get()?.rackId ?? null)
  } finally {
    await archive.close()
  }
}

export function factsOf(
  { path, byteCount, manifest, unpackedBytes }: Archive,
  openRackId: string | null,
): ArchiveFacts {
  const { name, rackId, madeAt, madeBy, form, schema, history, panels, photos, missing, members } = manifest
  return {
    path,
    byteCount,
    name,
    rackId,
    madeAt,
    madeBy,
    form,
    schema,
    history,
    panels,
    photos,
    dataSheets: members.filter((member) => member.name.startsWith('data-sheets/')).length,
    unpackedBytes,
    missing: missing.length,
    damaged: members.filter((member) => member.damaged).length,
    ofThisRack: openRackId !== null && openRackId !== '' && openRackId === rackId,
  }
}

export async function startVerifying(context: Context, { path }: Input<'archive.verify'>): Promise<string> {
  const archive = await openArchive(path)
  const id = v7()
  context.jobs.start({ id, kind: 'archive', label: 'Checking an archive', total: 0, rackFolder: null }, async (job) => {
    try {
      const total = archive.unpackedBytes
      archive.nameBy((sha256) => nameWithin(archive, context.appFiles.folder, sha256))
      await verifyAll(archive, (done) => job.progress('Reading', done, total), job.signal)
      const files = archive.manifest.members.length
      job.conclude(`“${archive.manifest.name}” is whole: the checksums of all ${files} files hold.`)
    } finally {
      await archive.close()
    }
  })
  return id
}

/** What the archive's own records call a file, asked only when there is something to say of it. */
async function nameWithin(archive: Archive, appFolder: string, sha256: string): Promise<string | null> {
  const records = archive.manifest.members.find(({ name }) => name === databaseName)
  if (!records) return null
  const path = join(await readyWorkFolder(appFolder), `${v7()}.sqlite`)
  try {
    const file = await open(path, 'wx', 0o600)
    try {
      await archive.read(records, (piece) => file.writeFile(piece))
    } finally {
      await file.close()
    }
    return namesFrom(path)(sha256)
  } catch {
    return null // then it goes without its name: what is wrong is said all the same
  } finally {
    await rm(path, { force: true })
  }
}

export async function startUnpacking(context: Context, { path, folder }: Input<'archive.unpack'>): Promise<string> {
  mustNotBeBusy(context)
  await mustBeANewFolder(folder)
  await (await openArchive(path)).close()
  const id = v7()
  context.jobs.start(
    { id, kind: 'archive', label: 'Unpacking an archive', total: 0, rackFolder: null },
    async (job) => {
      const manifest = await unpackArchive({
        path,
        folder,
        prove: async (database) =>
          void (await askWorker('prove', { path: database }, job.signal, mostWorkMs((await stat(database)).size))),
        onProgress: (stage, done, total) => job.progress(stage, done, total),
        signal: job.signal,
      })
      await context.current.open(folder)
      const rack = context.current.get()
      const label = `unpacked from the archive of ${manifest.madeAt.slice(0, 10)}`
      if (rack?.folder === folder && rack.access.mode === 'full')
        await noteEvent(rack.db, { kind: 'unpacked', label, who: context.appFiles.settings().painter })
      await dropStaged(context.appFiles.folder, path)
      job.conclude(
        `“${manifest.name}” lies in ${folder} and is open: ${manifest.panels} panels, ${manifest.photos} photos.`,
      )
    },
  )
  return id
}
