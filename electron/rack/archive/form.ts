import { z } from 'zod'
import { Sha256 } from '../../../shared-core/records/photo.ts'

/**
 * A rack as one file: an ordinary ZIP (APPNOTE.TXT 6.3) with the records, the originals, the data sheets, a text that says
 * what it is, and a manifest that names every member with its size and SHA-256.
 */
export const archiveForm = 1
export const archiveKind = 'overground-rack-archive'
export const archiveEnding = '.overground.zip'

export const manifestName = 'manifest.json'
export const readmeName = 'README.txt'
export const databaseName = 'rack.sqlite'

/** Nothing that a workshop makes comes near these. */
export const limits = {
  members: 400_000,
  manifestBytes: 96 * 1024 ** 2,
  directoryBytes: 96 * 1024 ** 2,
  databaseBytes: 4 * 1024 ** 3,
  /** An original, a data sheet. */
  fileBytes: 2 * 1024 ** 3,
  /** What deflate can make of one byte at the very most. Source: zlib, Technical Details, Maximum Compression Factor. */
  deflateFactor: 1032,
} as const

export const Member = z.strictObject({
  name: z.string().max(200),
  byteCount: z.int().nonnegative(),
  sha256: Sha256,
  /** Its bytes are no longer those that its name says: a disk altered it before it came into the archive. */
  damaged: z.literal(true).optional(),
})
export type Member = z.infer<typeof Member>

/** What every form says, so that a newer one can be refused in words. */
export const ManifestHead = z.object({ kind: z.literal(archiveKind), form: z.int().positive() })

export const Manifest = ManifestHead.extend({
  rackId: z.string().max(100),
  name: z.string().max(200),
  madeAt: z.iso.datetime(),
  /** Version of the program that made it. */
  madeBy: z.string().max(60),
  /** Form of the records (`user_version`). */
  schema: z.int().positive(),
  history: z.boolean(),
  panels: z.int().nonnegative(),
  photos: z.int().nonnegative(),
  /** Originals that the records name and that were not there. */
  missing: z.array(z.string().max(200)).max(limits.members),
  members: z.array(Member).max(limits.members),
})
export type Manifest = z.infer<typeof Manifest>

const original = /^photos\/([0-9a-f]{2})\/(\1[0-9a-f]{62})\.(jpg|png|tif|webp|avif|heic|dng)$/
const dataSheet = /^data-sheets\/([0-9a-f]{2})\/(\1[0-9a-f]{62})\.(pdf|jpg|png)$/
const plain: readonly string[] = [manifestName, readmeName, databaseName]

/** The file that a member's name stands for; null for every name that an archive does not have. */
export function memberOf(
  name: string,
): { kind: 'photos' | 'data-sheets'; sha256: string; extension: string } | 'plain' | null {
  if (plain.includes(name)) return 'plain'
  const photo = original.exec(name)
  if (photo) return { kind: 'photos', sha256: photo[2] ?? '', extension: photo[3] ?? '' }
  const sheet = dataSheet.exec(name)
  return sheet ? { kind: 'data-sheets', sha256: sheet[2] ?? '', extension: sheet[3] ?? '' } : null
}

/** Folders have entries of their own when another program put the archive together again. */
export const isFolderName = (name: string): boolean => /^(photos|data-sheets)\/([0-9a-f]{2}\/)?$/.test(name)

export const mostBytesOf = (name: string): number =>
  name === manifestName ? limits.manifestBytes : name === databaseName ? limits.databaseBytes : limits.fileBytes

export function readmeText(
  about: Pick<Manifest, 'name' | 'madeAt' | 'madeBy' | 'panels' | 'photos' | 'history'>,
): string {
  const lines = [
    `The rack “${about.name}”, as one file`,
    '',
    `Made on ${about.madeAt} by Overground ${about.madeBy}: ${about.panels} panels, ${about.photos} photos,`,
    `${about.history ? 'with' : 'without'} the history of changes.`,
    '',
    'TO OPEN IT WITH OVERGROUND',
    'Choose “Open an archive” on the first page, or “Safe keeping, Archive and exchange” to take it into another rack.',
    '',
    'TO OPEN IT WITHOUT OVERGROUND',
    'This is an ordinary ZIP file. Any program that unpacks ZIP files shows what is inside:',
    '',
    '  photos/       the photos exactly as they came from the camera; each is named by its SHA-256',
    '  data-sheets/  makers’ data sheets, named the same way',
    '  rack.sqlite   panels, formulas, readings and all other records: an SQLite 3 database, which many programs read',
    '  manifest.json every file with its size and SHA-256, to check that nothing was altered',
    '',
    'Unpacked into a folder of its own this is a rack again: Overground opens that folder as it is.',
    '',
  ]
  return lines.join('\r\n')
}
