import { protocol } from 'electron'
import { decoded } from '../service/link/files.ts'
import type { PictureLocator } from '../service/link/located.ts'
import { filePolicy } from '../service/link/policy.ts'
import { nothing, sent } from './pages.ts'

/** Serves pictures of the open rack at `picture://local/KEY`. A key names its content, so an answer never changes. */
export function servePictures(pictures: PictureLocator): void {
  protocol.handle('picture', async (request) => {
    const { host, pathname } = new URL(request.url)
    const key = decoded(pathname.slice(1))
    if (request.method !== 'GET' || host !== 'local' || !key) return nothing()
    const found = await pictures.locate(key, request.signal)
    if (!found.ok) return nothing()
    return sent(found.value, {
      'content-type': found.value.type,
      'content-security-policy': filePolicy,
      'cache-control': 'private, max-age=31536000, immutable',
    })
  })
}
