import { readFile } from 'node:fs/promises'
import { protocol } from 'electron'
import { type FoundFile, pageFile } from '../service/link/files.ts'
import { filePolicy, pagePolicy, permissionsPolicy } from '../service/link/policy.ts'
import { isOurPage, pagesFolder } from './places.ts'

/** To be called before the application is ready. */
export function announceSchemes(): void {
  protocol.registerSchemesAsPrivileged([
    { scheme: 'app', privileges: { standard: true, secure: true, supportFetchAPI: true, stream: true } },
    { scheme: 'picture', privileges: { standard: true, secure: true, stream: true } },
  ])
}

/**
 * A file as an answer, read whole: an answer that is a stream stays open for ever now and then when its page is loaded again
 * meanwhile (two of six times on a busy computer, in Electron 33), and the new page with it. The largest is a few megabytes.
 */
export async function sent(file: FoundFile, headers: Record<string, string>): Promise<Response> {
  try {
    const body = await readFile(file.path)
    return new Response(body, {
      headers: { 'content-length': String(body.length), 'x-content-type-options': 'nosniff', ...headers },
    })
  } catch {
    return nothing() // it has gone since it was found
  }
}

export const nothing = (status = 404) => new Response(null, { status })

/** Serves the built pages at `app://local/`. */
export function servePages(): void {
  protocol.handle('app', async (request) => {
    if (request.method !== 'GET' || !isOurPage(request.url)) return nothing()
    const file = await pageFile(pagesFolder, new URL(request.url).pathname)
    if (!file) return nothing()
    const page = file.type.startsWith('text/html')
    return sent(file, {
      'content-type': file.type,
      'content-security-policy': page ? pagePolicy('picture:') : filePolicy,
      'referrer-policy': 'no-referrer',
      'cross-origin-opener-policy': 'same-origin',
      'permissions-policy': permissionsPolicy,
      'cache-control': 'no-cache',
    })
  })
}
