import { createReadStream } from 'node:fs'
import type { OutgoingHttpHeaders, ServerResponse } from 'node:http'
import { extname } from 'node:path'
import { pipeline } from 'node:stream'
import { type FoundFile, pageFile } from '../service/link/files.ts'
import { filePolicy, pagePolicy } from '../service/link/policy.ts'
import { refusals } from './refusals.ts'

/** Sends a file; a page that goes away meanwhile ends it. */
export function sendFile(response: ServerResponse, file: FoundFile, headers: OutgoingHttpHeaders, bodyToo: boolean) {
  response.writeHead(200, { ...headers, 'content-length': file.size })
  if (!bodyToo) {
    response.end()
    return
  }
  // an error after the head was sent can only be shown by breaking off, which pipeline does
  pipeline(createReadStream(file.path), response, () => undefined)
}

/** Sends a file of the built pages, or the page itself for a place of the application. */
export async function sendPage(response: ServerResponse, pages: string, pathname: string, bodyToo: boolean) {
  const file = await pageFile(pages, pathname)
  if (!file) throw extname(pathname) === '' || pathname === '/index.html' ? refusals.notBuilt() : refusals.absent()
  const page = file.type.startsWith('text/html')
  // names of built files change with their content; the page names them and is asked for every time
  const lasting = pathname.startsWith('/assets/')
  sendFile(
    response,
    file,
    {
      'content-type': file.type,
      'content-security-policy': page ? pagePolicy : filePolicy,
      'cache-control': lasting ? 'private, max-age=31536000, immutable' : 'no-cache',
    },
    bodyToo,
  )
}
