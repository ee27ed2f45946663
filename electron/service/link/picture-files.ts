import { join } from 'node:path'

/** What a picture's key names. Keys are strict, so that no key can name a file outside of the renditions. */
export type PictureKey =
  | { kind: 'photo'; hash: string; size: 'thumb' | 'view' | 'full' }
  | { kind: 'cut'; hash: string; size: 'small' | 'usual' | 'large' }
  | { kind: 'corrected'; hash: string }

const photoKey = /^photo\/([0-9a-f]{64})\/(thumb|view|full)$/
const cutKey = /^cut\/([0-9a-f]{32})(?:\/(small|large))?$/
const correctedKey = /^corrected\/([0-9a-f]{32})$/

export function readKey(key: string): PictureKey | null {
  const [, sha256, size] = photoKey.exec(key) ?? []
  if (sha256) return { kind: 'photo', hash: sha256, size: size as 'thumb' | 'view' | 'full' }
  const [, corrected] = correctedKey.exec(key) ?? []
  if (corrected) return { kind: 'corrected', hash: corrected }
  const [, cut, cutSize] = cutKey.exec(key) ?? []
  return cut ? { kind: 'cut', hash: cut, size: (cutSize ?? 'usual') as 'small' | 'usual' | 'large' } : null
}

/** Where a picture lies among a rack's renditions: the same for the service, which makes it, and for hosts, which send it. */
export function pictureFile(renditions: string, picture: PictureKey): string {
  const shelf = picture.hash.slice(0, 2)
  if (picture.kind === 'corrected') return join(renditions, 'corrected', shelf, `${picture.hash}.webp`)
  const { kind, hash, size } = picture
  if (kind === 'photo') return join(renditions, shelf, `${hash}-${size}.webp`)
  return join(renditions, 'cuts', shelf, size === 'usual' ? `${hash}.webp` : `${hash}-${size}.webp`)
}
