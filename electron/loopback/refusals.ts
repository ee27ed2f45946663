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

const openAgain = 'Open Overground with the address that was printed when it was started.'

export const refusals = {
  otherHost: () =>
    new RequestRefusal(403, 'host/other-address', 'Overground was asked under another address.', openAgain),
  otherOrigin: () => new RequestRefusal(403, 'host/other-page', 'Another page asked Overground for this.', openAgain),
  noToken: () =>
    new RequestRefusal(403, 'host/no-token', 'This page does not belong to the Overground that is running.', openAgain),
  noSuchCall: () =>
    new RequestRefusal(404, 'host/no-such-call', 'This page asked for something unknown.', 'Reload the page.'),
  absent: () => new RequestRefusal(404, 'host/absent', 'There is nothing at this address.', openAgain),
  method: () => new RequestRefusal(405, 'host/method', 'This address cannot be asked that way.', 'Reload the page.'),
  tooManyPages: () =>
    new RequestRefusal(
      503,
      'host/too-many-pages',
      'Overground is open in very many tabs.',
      'Close those that are not needed, then reload this one.',
    ),
  notBuilt: () =>
    new RequestRefusal(
      503,
      'host/not-built',
      'The pages of Overground are not where they belong.',
      'Start Overground with “npm start”, which builds them. Your racks are safe: nothing was opened.',
    ),
  tooLarge: (limit: number) =>
    new RequestRefusal(
      413,
      'host/too-large',
      `More than ${Math.round(limit / 1024 ** 2)} MB were sent at once.`,
      'Files larger than this can be taken in with the window of Overground.',
    ),
  tooSlow: () => new RequestRefusal(408, 'host/too-slow', 'The file did not arrive in time.', 'Try once more.'),
  notJson: () => new RequestRefusal(400, 'host/not-json', 'This page sent something unreadable.', 'Reload the page.'),
  cannotWrite: (reason: string) =>
    new RequestRefusal(
      507,
      'host/cannot-write',
      `The file could not be written to Overground's own folder (${reason}).`,
      'Make room on that disk, then try once more.',
    ),
}

export function sendJson(response: ServerResponse, status: number, body: unknown): void {
  response
    .writeHead(status, { 'content-type': 'application/json; charset=utf-8', 'cache-control': 'no-store' })
    .end(JSON.stringify(body))
}

/** After a refusal a sender may go on for this long: cut off at once, it would never see the answer. */
const lingerMs = 1_000

/** Answers a refusal. What is still coming in is thrown away, and the connection ends. */
export function sendRefusal(request: IncomingMessage, response: ServerResponse, refusal: RequestRefusal): void {
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
    sendWords(response, refusal.status, refusal.failure)
  else sendJson(response, refusal.status, { ok: false, error: refusal.failure })
}

const plain = (text: string) => text.replaceAll('&', '&amp;').replaceAll('<', '&lt;')

/** The same for somebody who has opened an address by hand: a page in words that needs nothing else. */
function sendWords(response: ServerResponse, status: number, { message, remedy }: Failure): void {
  response.writeHead(status, { 'content-type': 'text/html; charset=utf-8', 'cache-control': 'no-store' }).end(
    `<!doctype html><html lang="en"><meta charset="utf-8"><title>Overground</title>
<h1>Overground</h1>
<h2>What happened</h2><p>${plain(message)}</p>
<h2>What is safe</h2><p>Every panel, photo and job that was saved.</p>
<h2>What to do</h2><p>${plain(remedy)}</p></html>`,
  )
}
