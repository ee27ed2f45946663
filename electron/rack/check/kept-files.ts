import type Database from 'better-sqlite3'
import type { PhotoFormat } from '../../../shared-core/records/photo.ts'
import { extensions, type Kind, pathByHash } from '../disk/photo-store.ts'

/** A file that the records name by its hash. */
export type KeptFile = {
  kind: Kind
  sha256: string
  extension: string
  name: string
  /** As the records say; null where they do not. */
  byteCount: number | null
  photoId: string | null
  /** Only a discarded photo names it. */
  discarded: boolean
}

type PhotoFile = {
  id: string
  sha256: string
  format: string
  name: string
  byte_count: number
  deleted_at: string | null
}
type Sheet = { sha256: string; name: string }

/** Every original and data sheet that the records name, each once. */
export function keptFiles(raw: Database.Database): KeptFile[] {
  const photos = raw
    .prepare('select id, sha256, format, name, byte_count, deleted_at from photo order by id')
    .all() as PhotoFile[]
  const sheets = raw
    .prepare(
      `select data_sheet_sha256 as sha256, min(coalesce(data_sheet_name, '')) as name from material
        where data_sheet_sha256 is not null group by data_sheet_sha256 order by 1`,
    )
    .all() as Sheet[]
  return [
    ...photos.map(
      ({ id, sha256, format, name, byte_count, deleted_at }): KeptFile => ({
        kind: 'photos',
        sha256,
        extension: extensions[format as PhotoFormat],
        name,
        byteCount: byte_count,
        photoId: id,
        discarded: deleted_at !== null,
      }),
    ),
    ...sheets.map(
      ({ sha256, name }): KeptFile => ({
        kind: 'data-sheets',
        sha256,
        extension: name.split('.').at(-1) ?? 'pdf',
        name,
        byteCount: null,
        photoId: null,
        discarded: false,
      }),
    ),
  ]
}

export const pathOf = (folder: string, file: Pick<KeptFile, 'kind' | 'sha256' | 'extension'>): string =>
  pathByHash(folder, file.kind, file.sha256, file.extension)

/** Hashes that only the history knows: a redo, or a panel from the past, would ask for these files again. */
export function hashesOfHistory(raw: Database.Database): Set<string> {
  const found = raw
    .prepare(
      `select distinct coalesce(json_extract(value, '$.sha256'), json_extract(value, '$.data_sheet_sha256'))
        from (select coalesce(after, before) as value from change_row where table_name in ('photo', 'material')
          union all select before from change_row where table_name = 'material' and before is not null)`,
    )
    .pluck()
    .all() as Array<string | null>
  return new Set(found.filter((sha256) => sha256 !== null))
}

/** What small pictures are named by: photos' hashes and cut-outs' keys, those of the history too. */
export function pictureHashes(raw: Database.Database): { photos: Set<string>; cuts: Set<string> } {
  const all = (statement: string) => raw.prepare(statement).pluck().all() as string[]
  return {
    photos: new Set(all('select sha256 from photo')),
    cuts: new Set([
      ...all('select distinct cut_key from area'),
      ...all('select distinct cut_key from reading where cut_key is not null'),
    ]),
  }
}
