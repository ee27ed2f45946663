import type { IncomingMessage, ServerResponse } from 'node:http'
import type { Failure } from '../../shared-core/contract/calls.ts'

/** A request that is answered with a status and, like every failure, with what happened and what to do. */
export class RequestRefusal extends Error {
  override readonly name = 'RequestRefusal'
  readonly status: number
  readonly failure: Failure

  constructor(status: number, code: string, message: string, remedy: string) {
    super(message)
    this.status = status
    this.failure = { code, message, remedy }
  }
}

/** What a body can be refused for, by whichever of our servers. */
export const bodyRefusals = {
  tooLarge: (limit: number) =>
    new RequestRefusal(
      413,
      'host/too-large',
      `More than ${Math.round(limit / 1024 ** 2)} MB were sent at once.`,
      'Take files larger than this in with the window of Overground.',
    ),
  tooSlow: () => new RequestRefusal(408, 'host/too-slow', 'The file did not arrive in time.', 'Try once more.'),
  notJson: () => new RequestRefusal(400, 'host/not-json', 'This page sent something unreadable.', 'Reload the page.'),
}

export function sendJson(response: ServerResponse, status: number, body: unknown): void {
  response
    .writeHead(status, { 'content-type': 'application/json; charset=utf-8', 'cache-control': 'no-store' })
    .end(JSON.stringify(body))
}

/** After a refusal a sender may go on for this long: cut off at once, it would never see the answer. */
const lingerMs = 1_000

/**
 * Answers a refusal. What is still coming in is thrown away, and the connection ends.
 * @param safe  for somebody who opened an address by hand: what is safe, whatever happened
 */
export function sendRefusal(
  request: IncomingMessage,
  response: ServerResponse,
  refusal: RequestRefusal,
  safe: string,
): void {
  if (response.headersSent || response.destroyed) {
    response.destroy()
    return
  }
  if (!request.complete) {
    response.setHeader('connection', 'close')
    request.resume()
    const cut = setTimeout(() => request.destroy(), lingerMs)
    request.once('close', () => clearTimeout(cut))
  }
  if (request.method === 'GET' && request.headers['sec-fetch-dest'] === 'document')
    sendWords(response, refusal.status, refusal.failure, safe)
  else sendJson(response, refusal.status, { ok: false, error: refusal.failure })
}

const plain = (text: string) => text.replaceAll('&', '&amp;').replaceAll('<', '&lt;')

/** The same for somebody who has opened an address by hand: a page in words that needs nothing else. */
function sendWords(response: ServerResponse, status: number, { message, remedy }: Failure, safe: string): void {
  response.writeHead(status, { 'content-type': 'text/html; charset=utf-8', 'cache-control': 'no-store' }).end(
    `<!doctype html><html lang="en"><meta charset="utf-8"><title>Overground</title>
<h1>Overground</h1>
<h2>What happened</h2><p>${plain(message)}</p>
<h2>What is safe</h2><p>${plain(safe)}</p>
<h2>What to do</h2><p>${plain(remedy)}</p></html>`,
  )
}
