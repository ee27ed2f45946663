import { decoded } from '../service/link/files.ts'
import type { PictureLocator } from '../service/link/located.ts'
import { filePolicy } from '../service/link/policy.ts'
import { nothing, sent } from './answers.ts'

/**
 * A picture of the open rack. A key names its content, so an answer never changes.
 * @param written  its key as it stands in the address
 */
export async function pictureAt(pictures: PictureLocator, written: string, signal: AbortSignal): Promise<Response> {
  const key = decoded(written)
  if (!key) return nothing()
  const found = await pictures.locate(key, signal)
  if (!found.ok) return nothing()
  return sent(found.value, {
    'content-type': found.value.type,
    'content-security-policy': filePolicy,
    'cache-control': 'private, max-age=31536000, immutable',
  })
}
