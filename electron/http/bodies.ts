import type { IncomingMessage } from 'node:http'
import { bodyRefusals } from './request-refusal.ts'

export type BodyLimit = {
  bytes: number
  /** The longest wait for the next piece. */
  idleMs: number
  /** The longest wait for all of it. */
  totalMs: number
}

/** A request, as far as its body is concerned. */
export type BodySource = Pick<IncomingMessage, 'headers' | 'iterator' | 'destroy'>

/** The pieces of a request's body; throws a refusal when it is too large or too slow. */
export async function* pieces(request: BodySource, limit: BodyLimit): AsyncGenerator<Buffer> {
  if (Number(request.headers['content-length'] ?? 0) > limit.bytes) throw bodyRefusals.tooLarge(limit.bytes)
  const until = Date.now() + limit.totalMs
  const reader = request.iterator({ destroyOnReturn: false })
  let bytes = 0
  while (true) {
    const wait = Math.min(limit.idleMs, until - Date.now())
    if (wait <= 0) throw bodyRefusals.tooSlow()
    let timer: ReturnType<typeof setTimeout> | undefined
    const late = new Promise<never>((_, reject) => {
      timer = setTimeout(() => reject(bodyRefusals.tooSlow()), wait)
    })
    const next = reader.next()
    // when the wait is over first, the reader still fails later, when the connection is closed
    next.catch(() => undefined)
    try {
      const piece = (await Promise.race([next, late])) as IteratorResult<Buffer>
      if (piece.done) return
      bytes += piece.value.length
      if (bytes > limit.bytes) throw bodyRefusals.tooLarge(limit.bytes)
      yield piece.value
    } finally {
      clearTimeout(timer)
    }
  }
}

/** The whole body as JSON. */
export async function readJson(request: BodySource, limit: BodyLimit): Promise<unknown> {
  const all: Buffer[] = []
  for await (const piece of pieces(request, limit)) all.push(piece)
  try {
    return JSON.parse(Buffer.concat(all).toString('utf8')) as unknown
  } catch {
    throw bodyRefusals.notJson()
  }
}
