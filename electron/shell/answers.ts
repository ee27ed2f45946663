import { readFile } from 'node:fs/promises'
import type { FoundFile } from '../service/link/files.ts'

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
