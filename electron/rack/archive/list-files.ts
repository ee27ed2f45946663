import { readdir, stat } from 'node:fs/promises'
import { join } from 'node:path'
import type { Kysely } from 'kysely'
import { extensions, type Kind } from '../disk/photo-store.ts'
import type { Tables } from '../tables.ts'
import { memberOf } from './form.ts'

export type RackFile = { name: string; path: string; byteCount: number }

/**
 * The kept files that go into an archive, by name, and those that the records name and that are not there.
 * @param all  also those that only the history still names, for undo and redo
 */
export async function listFiles(
  db: Kysely<Tables>,
  folder: string,
  all: boolean,
): Promise<{ files: RackFile[]; missing: string[] }> {
  const named = await namedFiles(db)
  const files: RackFile[] = []
  for (const kind of ['photos', 'data-sheets'] satisfies Kind[]) {
    for (const shelf of await namesIn(join(folder, kind))) {
      if (!/^[0-9a-f]{2}$/.test(shelf)) continue
      for (const file of await namesIn(join(folder, kind, shelf))) {
        const name = `${kind}/${shelf}/${file}`
        if (memberOf(name) === null || !(all || named.has(name))) continue
        const path = join(folder, kind, shelf, file)
        const facts = await stat(path)
        if (facts.isFile()) files.push({ name, path, byteCount: facts.size })
      }
    }
  }
  const there = new Set(files.map(({ name }) => name))
  const missing = [...named].filter((name) => !there.has(name)).toSorted()
  return { files: files.toSorted((a, b) => (a.name < b.name ? -1 : 1)), missing }
}

async function namedFiles(db: Kysely<Tables>): Promise<Set<string>> {
  const photos = await db.selectFrom('photo').select(['sha256', 'format']).execute()
  const sheets = await db
    .selectFrom('material')
    .select(['data_sheet_sha256', 'data_sheet_name'])
    .where('data_sheet_sha256', 'is not', null)
    .execute()
  const named = new Set<string>()
  for (const { sha256, format } of photos)
    named.add(`photos/${sha256.slice(0, 2)}/${sha256}.${extensions[format as keyof typeof extensions]}`)
  for (const { data_sheet_sha256: sha256, data_sheet_name: name } of sheets)
    if (sha256 !== null) named.add(`data-sheets/${sha256.slice(0, 2)}/${sha256}.${name?.split('.').at(-1) ?? 'pdf'}`)
  return named
}

const namesIn = (folder: string): Promise<string[]> =>
  readdir(folder).catch((error: { code?: string }) => {
    if (error.code === 'ENOENT' || error.code === 'ENOTDIR') return []
    throw error
  })
