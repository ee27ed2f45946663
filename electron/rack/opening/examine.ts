import { constants } from 'node:fs'
import { access, stat } from 'node:fs/promises'
import { isAbsolute, join } from 'node:path'
import type { Refusal } from '../../../shared-core/contract/refusal.ts'
import { readMarker } from '../backups/second-place/place.ts'
import { applicationId, readHeader } from '../disk/header.ts'
import { mustFit } from '../disk/names.ts'
import { versionInWal } from '../disk/wal.ts'
import {
  damagedRack,
  folderAbsent,
  isSecondPlace,
  newerRack,
  notARack,
  readOnlyRack,
  recordsGone,
} from '../refusals.ts'
import { remainsOf, wasSealed } from './remains.ts'

export const databaseOf = (folder: string): string => join(folder, 'rack.sqlite')

/**
 * Looks, without writing, whether this folder holds a rack that this program can open.
 * @param ours the newest form that is known
 * @throws Refusal `rack/folder-absent`, `rack/not-a-rack`, `rack/newer`, `rack/damaged`, `rack/path-too-long`
 */
export async function examine(folder: string, ours: number): Promise<void> {
  const here = isAbsolute(folder) && !folder.includes('\0') ? await stat(folder).catch(absentAsNull) : null
  if (!here) throw folderAbsent(folder)
  if (!here.isDirectory()) throw notARack(folder, 'it is a file, not a folder')
  const path = databaseOf(folder)
  const file = await stat(path).catch(absentAsNull)
  if (!file?.isFile()) throw await withoutRecords(folder)
  mustFit(folder)
  const header = await readHeader(path)
  if (header.kind === 'other') {
    const was = (await remainsOf(folder)).length > 0 || (await wasSealed(folder))
    if (was) throw damagedRack(folder, 'its database cannot be read')
    throw notARack(folder, 'its rack.sqlite is no database')
  }
  if (header.applicationId !== applicationId) throw notARack(folder, 'its rack.sqlite belongs to another program')
  if (header.userVersion > ours) throw newerRack(folder, header.userVersion, ours)
  const wal = await stat(`${path}-wal`).catch(absentAsNull)
  if (!wal || wal.size === 0) {
    if (file.size < header.byteCount) throw damagedRack(folder, 'the end of its database is missing')
    return
  }
  // what was written last is still in the log, and may have come from a newer program
  const version = await versionInWal(`${path}-wal`)
  if (version !== null && version > ours) throw newerRack(folder, version, ours)
}

async function withoutRecords(folder: string): Promise<Refusal> {
  if (await readMarker(folder)) return isSecondPlace(folder)
  const remains = await remainsOf(folder)
  return remains.length > 0 ? recordsGone(folder, remains) : notARack(folder, 'it holds no rack.sqlite')
}

function absentAsNull(error: { code?: string }): null {
  if (error.code === 'ENOENT' || error.code === 'ENOTDIR') return null
  throw error
}

/** Marked as read-only counts even for an administrator, whom the system would let through. */
export async function mustBeWritable(folder: string): Promise<void> {
  const path = databaseOf(folder)
  for (const one of [folder, path, `${path}-wal`, `${path}-shm`]) {
    const found = await stat(one).catch(absentAsNull)
    if (!found) continue
    if ((found.mode & 0o222) === 0) throw readOnlyRack(folder)
    await access(one, constants.W_OK)
  }
}
