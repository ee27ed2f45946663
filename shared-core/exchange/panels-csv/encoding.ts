export type TextEncoding = 'utf-8' | 'utf-16le' | 'utf-16be' | 'windows-1252'

/** What is told of an encoding. */
export const encodingInWords: Record<TextEncoding, string> = {
  'utf-8': 'UTF-8',
  'utf-16le': 'UTF-16',
  'utf-16be': 'UTF-16',
  'windows-1252': 'Windows-1252',
}

/** So many bytes tell a UTF-16 without a mark. */
const looked = 4096

/**
 * How the characters of a text file are written: by its mark; without one, UTF-16 by its many zero bytes on one side,
 * UTF-8 where every byte is of a well-formed character, and else Windows-1252, in which any bytes are letters.
 */
export function encodingOf(bytes: Uint8Array): TextEncoding {
  if (bytes[0] === 0xef && bytes[1] === 0xbb && bytes[2] === 0xbf) return 'utf-8'
  if (bytes[0] === 0xff && bytes[1] === 0xfe) return 'utf-16le'
  if (bytes[0] === 0xfe && bytes[1] === 0xff) return 'utf-16be'
  return withoutMark(bytes) ?? (isUtf8(bytes) ? 'utf-8' : 'windows-1252')
}

/** Letters, figures and separators of a table have one zero byte each in UTF-16. */
function withoutMark(bytes: Uint8Array): TextEncoding | null {
  const end = Math.min(bytes.length, looked) & ~1
  if (end < 4) return null
  let [even, odd] = [0, 0]
  for (let at = 0; at < end; at += 2) {
    if (bytes[at] === 0) even++
    if (bytes[at + 1] === 0) odd++
  }
  const pairs = end / 2
  if (odd > pairs * 0.6 && even < pairs * 0.05) return 'utf-16le'
  if (even > pairs * 0.6 && odd < pairs * 0.05) return 'utf-16be'
  return null
}

/**
 * Whether bytes are well-formed UTF-8.
 * Source: The Unicode Standard, version 15, table 3-7 "Well-Formed UTF-8 Byte Sequences".
 */
export function isUtf8(bytes: Uint8Array): boolean {
  for (let at = 0; at < bytes.length; ) {
    const first = bytes[at] ?? 0
    if (first < 0x80) {
      at += 1
      continue
    }
    const length = first < 0xc2 ? 0 : first < 0xe0 ? 2 : first < 0xf0 ? 3 : first < 0xf5 ? 4 : 0
    if (length === 0 || at + length > bytes.length) return false
    const second = bytes[at + 1] ?? 0
    const least = first === 0xe0 ? 0xa0 : first === 0xf0 ? 0x90 : 0x80
    const most = first === 0xed ? 0x9f : first === 0xf4 ? 0x8f : 0xbf
    if (second < least || second > most) return false
    for (let next = at + 2; next < at + length; next++) if (((bytes[next] ?? 0) & 0xc0) !== 0x80) return false
    at += length
  }
  return true
}
