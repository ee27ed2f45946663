/** What the computer says to a request, where it says no. */
export type No = { status: number; code: string; message: string; remedy: string }

/** The computer cannot be reached: closed, or the phone has left the network. */
export class Unreached extends Error {}
export class Refused extends Error {
  readonly no: No
  constructor(no: No) {
    super(no.message)
    this.no = no
  }
}

const secretKey = 'overground-phone'
const waitMs = 25_000

/** What the computer knows this page by; a reload goes on with it, another tab does not have it. */
let secret: string | null = sessionStorage.getItem(secretKey)
export const isConnected = (): boolean => secret !== null
export function forget(): void {
  secret = null
  sessionStorage.removeItem(secretKey)
}

async function send<T>(path: string, type: string, body: string | Blob): Promise<T> {
  const late = new AbortController()
  const timer = setTimeout(() => late.abort(), waitMs)
  let response: Response
  let told: unknown
  try {
    const headers: Record<string, string> = { 'content-type': type }
    if (secret !== null) headers['x-phone'] = secret
    response = await fetch(path, { method: 'POST', headers, body, signal: late.signal, cache: 'no-store' })
    told = await response.json()
  } catch {
    throw new Unreached()
  } finally {
    clearTimeout(timer)
  }
  if (response.ok) return told as T
  const { code = '', message = '', remedy = '' } = (told as { error?: Partial<No> }).error ?? {}
  throw new Refused({ status: response.status, code, message, remedy })
}

export type Fate = { state: 'kept' | 'looked-at' | 'refused'; words: string; isGood: boolean }
export type Standing = { state: 'coming' | 'whole' | 'kept' | 'refused'; offset: number; fate: Fate | null }

const ask = <T>(path: string, what: object) => send<T>(path, 'application/json', JSON.stringify(what))

/** Presents a code; the first page that does so is connected. */
export async function pair(token: string): Promise<void> {
  const { secret: given } = await ask<{ secret: string }>('/pair', { token })
  secret = given
  sessionStorage.setItem(secretKey, given)
}
export const announce = (id: string, name: string, size: number) => ask<Standing>('/announce', { id, name, size })
export const piece = (id: string, offset: number, bytes: Blob) =>
  // a blob that is sliced off a file would bring that file's type
  send<Standing>(`/piece?id=${id}&offset=${offset}`, 'application/octet-stream', bytes.slice(0, bytes.size, ''))
export const finish = (id: string, sha256: string, panel: string, light: string) =>
  ask<Standing>('/finish', { id, sha256, panel, light })
export const fates = async (ids: string[]) => (await ask<{ fates: Record<string, Standing> }>('/fates', { ids })).fates
export const drop = (id: string) => ask<object>('/drop', { id })
