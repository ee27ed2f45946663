import { Refusal } from '../../../shared-core/contract/refusal.ts'

/**
 * Longest path of a rack's folder in bytes. SQLite on Unix opens no file whose path, with "-journal" after it, is longer than 511
 * bytes (MAX_PATHNAME 512 in os_unix.c; measured: 503 go, 504 do not), and the longest name below a rack takes a hundred.
 */
export const longestFolder = 400

export const pathTooLong = (folder: string) =>
  new Refusal(
    'rack/path-too-long',
    `The path to this folder is too long for a database (${Buffer.byteLength(folder)} bytes, ${longestFolder} are possible). Nothing in it was changed.`,
    'Move the rack’s folder nearer to the top of its drive, or give the folders above it shorter names.',
  )

/** @throws Refusal `rack/path-too-long` */
export function mustFit(folder: string): void {
  if (Buffer.byteLength(folder) > longestFolder) throw pathTooLong(folder)
}

/** Source: Microsoft Learn, Naming Files, Paths, and Namespaces: reserved whatever follows after a dot. */
const reserved = /^(con|prn|aux|nul|com[0-9¹²³]|lpt[0-9¹²³]|conin\$|conout\$)(\..*)?$/i

/** A folder's name that every system takes, made of what a painter calls the rack. */
export function folderName(wanted: string): string {
  const clean = wanted
    .normalize('NFC')
    .replaceAll(/[<>:"/\\|?*\p{Cc}]/gu, ' ')
    .replaceAll(/\s+/g, ' ')
    .replaceAll(/^[. ]+|[. ]+$/g, '')
  // 255 bytes are possible in a name on most drives; letters are not cut apart, and no blank or dot is left at the end
  let short = ''
  for (const letter of new Intl.Segmenter(undefined, { granularity: 'grapheme' }).segment(clean)) {
    if (Buffer.byteLength(short + letter.segment) > 160 || short.length >= 80) break
    short += letter.segment
  }
  const name = short.replaceAll(/[. ]+$/g, '')
  if (name === '') return 'Rack'
  return reserved.test(name) ? `Rack ${name}` : name
}
