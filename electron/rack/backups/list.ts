import { readdir, stat } from 'node:fs/promises'
import { join } from 'node:path'
import { Refusal } from '../../../shared-core/contract/refusal.ts'
import type { Backup, BackupFacts } from '../../../shared-core/records/backup.ts'
import { applicationId, readHeader } from '../disk/header.ts'
import { folderAbsent } from '../refusals.ts'
import { backupsOf, isBackupName, kindOf, readFacts, readName } from './facts.ts'
import { proveBackup } from './prove.ts'
import { askWorker } from './worker/ask.ts'

/**
 * Backups in a rack's folder, or in a second place: newest first, without opening the rack.
 * @param how  `quick` looks at names, sizes and headers; `thorough` reads each to its end and compares its checksum
 * @throws Refusal `rack/folder-absent`
 */
export async function listBackups(folder: string, how: 'quick' | 'thorough' = 'thorough'): Promise<Backup[]> {
  if (!(await stat(folder).catch(() => null))?.isDirectory()) throw folderAbsent(folder)
  const backups = backupsOf(folder)
  const names = await readdir(backups).catch((error: { code?: string }) => {
    if (error.code === 'ENOENT' || error.code === 'ENOTDIR') return []
    throw error
  })
  const listed: Backup[] = []
  for (const file of names.filter(isBackupName)) {
    const found = await look(join(backups, file), file, how)
    if (found) listed.push(found)
  }
  return listed.toSorted((a, b) => (a.madeAt === b.madeAt ? (a.file < b.file ? 1 : -1) : a.madeAt < b.madeAt ? 1 : -1))
}

async function look(path: string, file: string, how: 'quick' | 'thorough'): Promise<Backup | null> {
  const found = await stat(path).catch(() => null)
  if (!found?.isFile()) return null
  const named = readName(file)
  const facts = await readFacts(path)
  const why = facts?.why ?? named?.why ?? null
  const backup = {
    file,
    madeAt: facts?.madeAt ?? named?.madeAt ?? new Date(found.mtimeMs).toISOString(),
    kind: kindOf(why),
    why: why ?? '',
    byteCount: found.size,
    facts,
  }
  // what could not be read when it was set aside is no backup
  if (backup.kind === 'set-aside') return { ...backup, state: 'damaged' }
  if (!(await looksWhole(path, found.size, facts))) return { ...backup, state: 'damaged' }
  const { size, mtimeMs, ctimeMs } = found
  const known = compared.get(path)
  const sha256 = facts?.sha256 ?? null
  const isKnown =
    known?.sha256 === sha256 && known.size === size && known.mtimeMs === mtimeMs && known.ctimeMs === ctimeMs
  const isFresh = isKnown && Math.abs(Date.now() - known.at) < comparedForMs
  if (isFresh) return { ...backup, ...known.told }
  if (how === 'quick') return { ...backup, state: 'unproven' }
  const told = await compareBytes(path, facts)
  compared.set(path, { sha256, size, mtimeMs, ctimeMs, at: Date.now(), told })
  return { ...backup, ...told }
}

/** A backup that was proven just now. */
export async function noteCompared(path: string, facts: BackupFacts): Promise<void> {
  const { size, mtimeMs, ctimeMs } = await stat(path)
  const told: Told = { state: 'whole', facts }
  compared.set(path, { sha256: facts.sha256, size, mtimeMs, ctimeMs, at: Date.now(), told })
}

type Told = { state: Backup['state']; facts: BackupFacts | null }
/** A disk may turn a byte without a word: after a day it is read again. */
const comparedForMs = 24 * 60 * 60 * 1000
type Comparison = { sha256: string | null; size: number; mtimeMs: number; ctimeMs: number; at: number; told: Told }
const compared = new Map<string, Comparison>()

async function looksWhole(path: string, size: number, facts: BackupFacts | null): Promise<boolean> {
  if (facts && facts.byteCount !== size) return false
  try {
    const header = await readHeader(path)
    return header.kind === 'sqlite' && header.applicationId === applicationId && header.byteCount <= size
  } catch {
    return false
  }
}

async function compareBytes(path: string, facts: BackupFacts | null): Promise<Told> {
  try {
    if (!facts) return { state: 'unproven', facts: await proveBackup(path) }
    const { sha256 } = await askWorker('hash', { path })
    return { state: sha256 === facts.sha256 ? 'whole' : 'damaged', facts }
  } catch (error) {
    if (error instanceof Refusal || (error as { code?: unknown }).code === 'EIO') return { state: 'damaged', facts }
    throw error
  }
}
