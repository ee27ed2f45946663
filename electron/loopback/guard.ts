import { randomBytes } from 'node:crypto'
import type { IncomingMessage } from 'node:http'
import { isSame, ownAddress } from '../http/own-address.ts'
import { openAgain, refusals } from './refusals.ts'

export const newSecret = () => randomBytes(24).toString('base64url')

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
  const own = ownAddress(host, openAgain)
  return {
    ...own,
    checkToken(request: IncomingMessage): void {
      if (!isSame(request.headers['x-token'], token)) throw refusals.noToken()
    },
    checkCookie(request: IncomingMessage): void {
      own.checkSite(request)
      const given = (request.headers.cookie ?? '').split(/;\s*/).find((one) => one.startsWith(`${cookieName}=`))
      if (!isSame(given?.slice(cookieName.length + 1), session)) throw refusals.noToken()
    },
    cookie: `${cookieName}=${session}; Path=/; HttpOnly; SameSite=Strict`,
  }
}
