import { timingSafeEqual } from 'node:crypto'
import type { IncomingMessage } from 'node:http'
import { decoded } from '../service/link/files.ts'
import { RequestRefusal } from './request-refusal.ts'

/** Compares without telling by its time how much of a secret was right. */
export function isSame(given: unknown, wanted: string): boolean {
  const a = Buffer.from(typeof given === 'string' ? given : '')
  const b = Buffer.from(wanted)
  return a.length === b.length && timingSafeEqual(a, b)
}

/**
 * Whether a request really means this server, and comes from a page of its own.
 * @param host    address and port, as a browser writes them
 * @param remedy  what somebody is to do whose page is not ours
 */
export function ownAddress(host: string, remedy: string) {
  const otherHost = () =>
    new RequestRefusal(403, 'host/other-address', 'Overground was asked under another address.', remedy)
  const otherOrigin = () =>
    new RequestRefusal(403, 'host/other-page', 'Another page asked Overground for this.', remedy)
  return {
    /** A name that was made to point to this computer is not this name. */
    checkHost(request: IncomingMessage): void {
      // of two, one would be checked here and the other believed elsewhere
      const hosts = request.rawHeaders.filter((name, place) => place % 2 === 0 && name.toLowerCase() === 'host')
      if (request.headers.host !== host || hosts.length !== 1) throw otherHost()
    },
    checkOrigin(request: IncomingMessage): void {
      if (request.headers.origin !== `http://${host}`) throw otherOrigin()
    },
    /** What a browser itself says of the page that asks; other programs say nothing, and need a secret all the same. */
    checkSite(request: IncomingMessage): void {
      const site = request.headers['sec-fetch-site']
      if (site !== undefined && site !== 'same-origin' && site !== 'none') throw otherOrigin()
    },
    /** The address as it was sent: `URL` alone would already have resolved `..` in it. */
    addressed(request: IncomingMessage): URL {
      const sent = request.url ?? ''
      if (!sent.startsWith('/') || decoded(sent.split(/[?#]/)[0] ?? '') === undefined)
        throw new RequestRefusal(404, 'host/absent', 'There is nothing at this address.', remedy)
      return new URL(`http://${host}${sent}`)
    },
  }
}
