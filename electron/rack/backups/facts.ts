import { basename, join } from 'node:path'
import { BackupFacts, type BackupKind } from '../../../shared-core/records/backup.ts'
import { writeDurably } from '../disk/durable.ts'
import { readSmallJson } from './small-file.ts'

/** Names of backups, and what is known of each in a small file beside it. */

export const backupsOf = (folder: string): string => join(folder, 'backups')
export const factsPath = (backup: string): string => `${backup}.json`

/** `rack-2031-05-17T08-30-00Z-daily.sqlite`, with `~2` before the ending for a second one in the same second. */
export function backupName(at: Date, why: string, turn = 1): string {
  const stamp = at
    .toISOString()
    .replaceAll(':', '-')
    .replace(/\.\d+Z$/, 'Z')
  return `rack-${stamp}-${why}${turn === 1 ? '' : `~${turn}`}.sqlite`
}

const form = /^rack-(\d{4}-\d\d-\d\d)T(\d\d)-(\d\d)-(\d\d)Z-([a-z0-9-]+)(?:~\d+)?\.sqlite$/

/** When and why, as the name says; null for a file that a person put there. */
export function readName(file: string): { madeAt: string; why: string } | null {
  const found = form.exec(file)
  if (!found) return null
  const [, day, hour, minute, second, why = ''] = found
  const madeAt = `${day}T${hour}:${minute}:${second}.000Z`
  return Number.isNaN(Date.parse(madeAt)) ? null : { madeAt, why }
}

/** Copies of what could not be read are set aside under this word. */
export const damagedWhy = 'damaged'

export function kindOf(why: string | null): BackupKind {
  if (why === 'daily' || why === 'by-hand') return why
  if (why === damagedWhy) return 'set-aside'
  if (why !== null && /^before-\d+$/.test(why)) return 'before-migration'
  return why !== null && /^before-(restore|merge|repair)$/.test(why) ? 'before-change' : 'other'
}

/** @returns null where none lie beside it, or what lies there makes no sense */
export async function readFacts(backup: string): Promise<BackupFacts | null> {
  try {
    return BackupFacts.parse(await readSmallJson(factsPath(backup)))
  } catch {
    return null
  }
}

export const writeFacts = (backup: string, facts: BackupFacts): Promise<void> =>
  writeDurably(factsPath(backup), (handle) => handle.writeFile(`${JSON.stringify(facts, null, 2)}\n`))

/** What is wrong with a name that is to be a backup in a folder, whoever sends it. */
export const isBackupName = (file: string): boolean =>
  file === basename(file) && file.endsWith('.sqlite') && !file.startsWith('.')
