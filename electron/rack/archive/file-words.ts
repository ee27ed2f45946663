import type Database from 'better-sqlite3'
import { memberOf } from './form.ts'
import { openSuspicious } from './proof/prove-records.ts'

/** What a painter calls a file of an archive: a photo's or a data sheet's own name, as the records have it. */
export function fileInWords(name: string, nameOf: (sha256: string) => string | null = () => null): string {
  const file = memberOf(name)
  if (file === null) return 'a file'
  if (file === 'plain') return name === 'rack.sqlite' ? 'the file with its records' : `its file ${name}`
  const known = nameOf(file.sha256)
  const kind = file.kind === 'photos' ? 'photo' : 'data sheet'
  return known === null || known === '' ? `one of its ${kind}s` : `the ${kind} “${known.slice(0, 120)}”`
}

/** Names from records that may not be whole: what cannot be read is not known. */
export function namesFrom(database: string): (sha256: string) => string | null {
  return (sha256) => {
    let raw: Database.Database | undefined
    try {
      raw = openSuspicious(database)
      const found = raw
        .prepare(
          'select name from photo where sha256 = ? union all select data_sheet_name from material where data_sheet_sha256 = ? limit 1',
        )
        .pluck()
        .get(sha256, sha256)
      return typeof found === 'string' ? found : null
    } catch {
      return null
    } finally {
      raw?.close()
    }
  }
}
