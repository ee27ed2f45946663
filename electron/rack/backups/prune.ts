import { readdir, rm } from 'node:fs/promises'
import { join } from 'node:path'
import { backupsOf, factsPath } from './facts.ts'
import { whichToKeep } from './keep.ts'
import { listBackups } from './list.ts'

/** Removes the backups whose time is over. @returns names of those removed */
export async function pruneBackups(folder: string, now: Date): Promise<string[]> {
  const backups = await listBackups(folder, 'quick')
  const kept = whichToKeep(backups, now)
  const over = backups.filter(({ file }) => !kept.has(file))
  for (const { file } of over) await removeBackup(folder, file)
  await sweepFacts(folder)
  return over.map(({ file }) => file)
}

/** The backup first: facts without one are swept away, one without facts would be unproven for ever. */
export async function removeBackup(folder: string, file: string): Promise<void> {
  const path = join(backupsOf(folder), file)
  for (const one of [path, `${path}-wal`, `${path}-journal`, factsPath(path)]) await rm(one, { force: true })
}

/** Facts whose backup never came, or is gone. */
async function sweepFacts(folder: string): Promise<void> {
  const names = new Set(await readdir(backupsOf(folder)))
  for (const name of names)
    if (name.endsWith('.sqlite.json') && !names.has(name.slice(0, -'.json'.length)))
      await rm(join(backupsOf(folder), name), { force: true })
}
