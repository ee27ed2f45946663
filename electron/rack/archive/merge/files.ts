import { extensions } from '../../disk/photo-store.ts'
import type { Row } from '../../history/rows.ts'
import { text } from './sides.ts'

export const extensionOf = (name: string): string => name.split('.').at(-1) ?? 'pdf'

/** The name of a photo's original in an archive. */
export function originalName(photo: Row): string {
  const sha256 = text(photo.sha256)
  const extension = extensions[text(photo.format) as keyof typeof extensions]
  return `photos/${sha256.slice(0, 2)}/${sha256}.${extension}`
}
