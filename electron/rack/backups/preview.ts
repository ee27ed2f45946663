import { readdir, stat } from 'node:fs/promises'
import { join } from 'node:path'
import type { Backup, RestorePreview } from '../../../shared-core/records/backup.ts'
import type { PhotoFormat } from '../../../shared-core/records/photo.ts'
import { extensions } from '../disk/photo-store.ts'
import { migrations } from '../migrations/list.ts'
import { backupsOf } from './facts.ts'
import { listBackups } from './list.ts'
import { proveBackup } from './prove.ts'
import { backupAbsent, backupNewer } from './refusals.ts'
import { askWorker, NotWhole } from './worker/ask.ts'
import type { Compared } from './worker/tasks.ts'

/**
 * What putting a backup back would change. The rack may be open, closed, or unreadable.
 * @throws Refusal `rack/folder-absent`, `backup/absent`, `backup/damaged`, `backup/newer`
 */
export async function previewRestore(folder: string, file: string): Promise<RestorePreview> {
  const backup = (await listBackups(folder, 'quick')).find((one) => one.file === file)
  if (!backup) throw backupAbsent(file)
  const path = join(backupsOf(folder), file)
  const facts = await proveBackup(path)
  if (facts.version > migrations.length) throw backupNewer(file, facts.version, migrations.length)
  const compared = await compare(folder, path)
  const originals = await listOriginals(folder)
  return {
    backup: { ...backup, state: backup.facts ? 'whole' : 'unproven', facts } satisfies Backup,
    inBackup: compared.inBackup.counts,
    inRack: compared.inRack?.counts ?? null,
    gone: compared.gone,
    back: compared.back,
    different: compared.different,
    changesLost: compared.changesLost,
    lostSince: compared.lostSince,
    ...photosIn(compared, originals),
    sameRack: sameRack(compared),
  }
}

async function compare(folder: string, backup: string): Promise<Compared> {
  const rack = join(folder, 'rack.sqlite')
  const isThere = await stat(rack).then(
    () => true,
    () => false,
  )
  if (!isThere) return askWorker('compare', { rack: null, backup })
  try {
    return await askWorker('compare', { rack, backup })
  } catch (error) {
    // the present records cannot be read: that is why somebody is here
    if (error instanceof NotWhole || String((error as { code?: unknown }).code).startsWith('SQLITE_'))
      return askWorker('compare', { rack: null, backup })
    throw error
  }
}

/** Photos of the rack as its folder holds them: hash → extension. */
export async function listOriginals(folder: string, kind: 'photos' | 'data-sheets' = 'photos') {
  const originals = new Map<string, string>()
  const all = join(folder, kind)
  for (const shelf of await readdir(all).catch(() => [])) {
    if (!/^[0-9a-f]{2}$/.test(shelf)) continue
    for (const name of await readdir(join(all, shelf)).catch(() => [])) {
      const [, sha256, extension] = /^([0-9a-f]{64})\.([a-z0-9]{2,5})$/.exec(name) ?? []
      if (sha256 && extension && sha256.startsWith(shelf)) originals.set(sha256, extension)
    }
  }
  return originals
}

/**
 * Which originals the backup does not know: those that hang or wait in the rack go into the tray, as does every one where the
 * present records cannot be read; what lies in the trash, or what nobody knows, stays where it is.
 */
function photosIn({ photos, inRack }: Compared, originals: ReadonlyMap<string, string>) {
  const known = new Map(photos.map((photo) => [photo.sha256, photo]))
  let photosToTray = 0
  let photosLeft = 0
  for (const sha256 of originals.keys()) {
    const photo = known.get(sha256)
    if (photo?.inBackup) continue
    if (!inRack || photo?.inRack === 'kept') photosToTray++
    else photosLeft++
  }
  const isMissing = ({ sha256, format, inBackup }: Compared['photos'][number]) =>
    inBackup && originals.get(sha256) !== extensions[format as PhotoFormat]
  return { photosToTray, photosLeft, photosMissing: photos.filter(isMissing).length }
}

function sameRack({ inRack, inBackup }: Compared): boolean | null {
  if (!inRack || inRack.rackId === '' || inBackup.rackId === '') return null
  return inRack.rackId === inBackup.rackId
}
