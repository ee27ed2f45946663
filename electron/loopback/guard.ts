import { randomBytes, timingSafeEqual } from 'node:crypto'
import type { IncomingMessage } from 'node:http'
import { refusals } from './refusals.ts'

export const newSecret = () => randomBytes(24).toString('base64url')

function same(given: unknown, wanted: string): boolean {
  const a = Buffer.from(typeof given === 'string' ? given : '')
  const b = Buffer.from(wanted)
  return a.length === b.length && timingSafeEqual(a, b)
}

/**
 * Who may ask this server for what. The token comes with the address that was printed and is sent as a header, so only
 * the page that was opened with it can make calls. Pictures, documents and events are asked for without headers: for
 * them the page gets a cookie. The cookie never becomes a token again: a browser sends it to every port of 127.0.0.1, so
 * another server on this computer may come to know it.
 */
export function guard(port: number, token: string) {
  const host = `127.0.0.1:${port}`
  const cookieName = `overground-${port}`
  const session = newSecret()
  return {
    /** A name that was made to point to this computer is not this name. */
    checkHost(request: IncomingMessage): void {
      // of two, one would be checked here and the other believed elsewhere
      const hosts = request.rawHeaders.filter((name, place) => place % 2 === 0 && name.toLowerCase() === 'host')
      if (request.headers.host !== host || hosts.length !== 1) throw refusals.otherHost()
    },
    checkOrigin(request: IncomingMessage): void {
      if (request.headers.origin !== `http://${host}`) throw refusals.otherOrigin()
    },
    /** What a browser itself says of the page that asks; other programs say nothing, and need the token all the same. */
    checkSite(request: IncomingMessage): void {
      const site = request.headers['sec-fetch-site']
      if (site !== undefined && site !== 'same-origin' && site !== 'none') throw refusals.otherOrigin()
    },
    checkToken(request: IncomingMessage): void {
      if (!same(request.headers['x-token'], token)) throw refusals.noToken()
    },
    checkCookie(request: IncomingMessage): void {
      this.checkSite(request)
      const given = (request.headers.cookie ?? '').split(/;\s*/).find((one) => one.startsWith(`${cookieName}=`))
      if (!same(given?.slice(cookieName.length + 1), session)) throw refusals.noToken()
    },
    cookie: `${cookieName}=${session}; Path=/; HttpOnly; SameSite=Strict`,
  }
}
