import { rename } from 'node:fs/promises'
import { dirname } from 'node:path'
import { v7 } from 'uuid'
import type { Input, Output } from '../../../../shared-core/contract/calls.ts'
import { Refusal } from '../../../../shared-core/contract/refusal.ts'
import { archiveEnding } from '../../../rack/archive/form.ts'
import { listFiles } from '../../../rack/archive/list-files.ts'
import { isThere, type Made, makeArchive, mustBeATarget } from '../../../rack/archive/make-archive.ts'
import { inWords } from '../../../rack/archive/refusals.ts'
import { folderName } from '../../../rack/disk/names.ts'
import { roomAt } from '../../../rack/disk/room.ts'
import type { Rack } from '../../../rack/opening/open.ts'
import { appVersion, type Context } from '../../context.ts'
import { suggestFolder } from '../../place/folders.ts'
import { readyWorkFolder } from './work-folder.ts'

/** Archives are made, unpacked and taken in one at a time. */
export function mustNotBeBusy({ jobs }: Context): void {
  const running = jobs
    .list()
    .find(({ kind, state }) => state === 'running' && (kind === 'archive' || kind === 'import'))
  if (running) throw new Refusal('archive/busy', `${running.label} is not done yet.`, 'Wait for it, or stop it.')
}

const day = (at: Date): string => at.toISOString().slice(0, 10)

/** "North wall 2031-05-03.overground.zip". */
export const archiveName = (rackName: string, at: Date): string => `${folderName(rackName)} ${day(at)}${archiveEnding}`

export async function suggestArchive(rack: Rack): Promise<Output<'archive.suggest'>> {
  const { name } = await rack.db.selectFrom('rack_info').select('name').executeTakeFirstOrThrow()
  const { files } = await listFiles(rack.db, rack.folder, true)
  const folder = dirname(await suggestFolder(name, isThere))
  const near = (await isThere(folder)) ? folder : dirname(folder)
  return {
    folder: near,
    fileName: archiveName(name, new Date()),
    byteCount: files.reduce((sum, { byteCount }) => sum + byteCount, 0),
    free: await roomAt(near),
  }
}

export async function startMaking(
  context: Context,
  { target, replace, history }: Input<'archive.make'>,
): Promise<string> {
  const rack = context.rack()
  mustNotBeBusy(context)
  if (target !== null) await mustBeATarget(target, replace)
  const id = v7()
  const what = { id, kind: 'archive', label: 'Making an archive', total: 0, rackFolder: rack.folder } as const
  context.jobs.start(what, async (job) => {
    const { name } = await rack.db.selectFrom('rack_info').select('name').executeTakeFirstOrThrow()
    const workFolder = await readyWorkFolder(context.appFiles.folder)
    const make = (path: string, mayReplace: boolean) =>
      makeArchive(rack, {
        target: path,
        replace: mayReplace,
        history,
        madeBy: appVersion(),
        workFolder,
        onProgress: (stage, done, total) => job.progress(stage, done, total),
        signal: job.signal,
      })
    if (target !== null) {
      job.conclude(madeInWords(await make(target, replace), target))
      return
    }
    const fileName = archiveName(name, new Date())
    let made: Made | undefined
    const documentId = await context.documents.add(fileName, async (path) => {
      // the document's own name is the host's; it has to end as archives do
      made = await make(`${path}${archiveEnding}`, false)
      await rename(made.path, path)
    })
    if (made) job.conclude(madeInWords(made, null))
    job.deliver({ documentId, fileName })
  })
  return id
}

function madeInWords({ byteCount, manifest }: Made, path: string | null): string {
  const { panels, photos, missing, members } = manifest
  const damaged = members.filter((member) => member.damaged).length
  const held = `${panels} ${panels === 1 ? 'panel' : 'panels'}, ${photos} ${photos === 1 ? 'photo' : 'photos'}`
  const where = path === null ? 'It is ready to be saved' : `It lies at ${path}`
  const sentences = [`${held}, ${inWords(byteCount)}. ${where}, and was read back: every checksum holds.`]
  if (missing.length > 0)
    sentences.push(
      `${missing.length} files that the rack names were not there and are not in it: see Check and repair.`,
    )
  if (damaged > 0) sentences.push(`${damaged} files were altered by a disk before; they are in it as they are.`)
  return sentences.join(' ')
}
