import { protocol } from 'electron'
import { pictureBase } from '../../shared-core/contract/host.ts'
import { pageFile } from '../service/link/files.ts'
import type { PictureLocator } from '../service/link/located.ts'
import { filePolicy, pagePolicy, permissionsPolicy } from '../service/link/policy.ts'
import { nothing, sent } from './answers.ts'
import { pictureAt } from './pictures.ts'
import { isOurPage, pagesFolder } from './places.ts'

/** To be called before the application is ready. */
export function announceSchemes(): void {
  protocol.registerSchemesAsPrivileged([
    { scheme: 'app', privileges: { standard: true, secure: true, supportFetchAPI: true, stream: true } },
  ])
}

/** Serves the built pages at `app://local/`, and pictures of the open rack below them. */
export function servePages(pictures: PictureLocator): void {
  protocol.handle('app', async (request) => {
    if (request.method !== 'GET' || !isOurPage(request.url)) return nothing()
    const { pathname } = new URL(request.url)
    if (pathname.startsWith(pictureBase)) return pictureAt(pictures, pathname.slice(pictureBase.length), request.signal)
    const file = await pageFile(pagesFolder, pathname)
    if (!file) return nothing()
    const page = file.type.startsWith('text/html')
    return sent(file, {
      'content-type': file.type,
      'content-security-policy': page ? pagePolicy : filePolicy,
      'referrer-policy': 'no-referrer',
      'cross-origin-opener-policy': 'same-origin',
      'permissions-policy': permissionsPolicy,
      'cache-control': 'no-cache',
    })
  })
}
