import type { ServerResponse } from 'node:http'
import type { Event } from '../../shared-core/contract/calls.ts'

/** A page that has not read this much is cut off; it connects again and asks anew. */
const unreadBytes = 1024 * 1024
const beatMs = 20_000

/** Server-sent events to every page that listens. */
export function eventStreams() {
  const pages = new Set<ServerResponse>()
  const write = (text: string) => {
    for (const page of pages) {
      if (page.writableLength > unreadBytes) page.destroy()
      else page.write(text)
    }
  }
  const beat = setInterval(() => write(':\n\n'), beatMs)
  beat.unref()
  return {
    add(response: ServerResponse): void {
      response.writeHead(200, { 'content-type': 'text/event-stream; charset=utf-8', 'cache-control': 'no-store' })
      response.write('retry: 1000\n\n')
      pages.add(response)
      response.once('close', () => pages.delete(response))
    },
    send(event: Event): void {
      write(`data: ${JSON.stringify(event)}\n\n`)
    },
    /** How many pages listen. */
    count: () => pages.size,
    end(): void {
      clearInterval(beat)
      for (const page of pages) page.end()
    },
  }
}
export type EventStreams = ReturnType<typeof eventStreams>
