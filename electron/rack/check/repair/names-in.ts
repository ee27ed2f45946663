import Database from 'better-sqlite3'

export type OriginalNamed = { sha256: string; name: string; addedAt: string; inTrash: boolean }

/** What a database that is not open calls its originals, by their hashes. */
export function namesIn(database: string): Map<string, OriginalNamed> {
  const raw = new Database(database, { readonly: true })
  try {
    const rows = raw.prepare('select sha256, name, added_at, deleted_at from photo').all() as Array<{
      sha256: string
      name: string
      added_at: string
      deleted_at: string | null
    }>
    return new Map(
      rows.map((row) => [
        row.sha256,
        { sha256: row.sha256, name: row.name, addedAt: row.added_at, inTrash: row.deleted_at !== null },
      ]),
    )
  } finally {
    raw.close()
  }
}
