import { createReadStream } from 'node:fs'
import { Readable } from 'node:stream'
import { protocol } from 'electron'
import { type FoundFile, pageFile } from '../service/link/files.ts'
import { filePolicy, pagePolicy } from '../service/link/policy.ts'
import { isOurPage, pagesFolder } from './places.ts'

/** To be called before the application is ready. */
export function announceSchemes(): void {
  protocol.registerSchemesAsPrivileged([
    { scheme: 'app', privileges: { standard: true, secure: true, supportFetchAPI: true, stream: true } },
    { scheme: 'picture', privileges: { standard: true, secure: true, stream: true } },
  ])
}

export function streamed(file: FoundFile, headers: Record<string, string>): Response {
  const body = Readable.toWeb(createReadStream(file.path)) as ReadableStream
  return new Response(body, {
    headers: { 'content-length': String(file.size), 'x-content-type-options': 'nosniff', ...headers },
  })
}

export const nothing = (status = 404) => new Response(null, { status })

/** Serves the built pages at `app://local/`. */
export function servePages(): void {
  protocol.handle('app', async (request) => {
    if (request.method !== 'GET' || !isOurPage(request.url)) return nothing()
    const file = await pageFile(pagesFolder, new URL(request.url).pathname)
    if (!file) return nothing()
    const page = file.type.startsWith('text/html')
    return streamed(file, {
      'content-type': file.type,
      'content-security-policy': page ? pagePolicy('picture:') : filePolicy,
      'referrer-policy': 'no-referrer',
      'cross-origin-opener-policy': 'same-origin',
      'cache-control': 'no-cache',
    })
  })
}
