import { readdir, readFile } from 'node:fs/promises'

export type PageFile = { type: string; bytes: Buffer }

const script = 'text/javascript; charset=utf-8'

/** The page by the addresses of its files; null where there is none. */
export type PageFiles = (path: string) => Promise<PageFile | null>

const built = !import.meta.url.endsWith('.ts')
const folder = new URL(built ? './' : './page/', import.meta.url)
const read = (name: string) => readFile(new URL(name, folder))

export async function pageFiles(): Promise<PageFiles> {
  const files = new Map<string, PageFile>([
    ['/', { type: 'text/html; charset=utf-8', bytes: await read('phone.html') }],
    ['/phone.css', { type: 'text/css; charset=utf-8', bytes: await read('phone.css') }],
    // asked for by every browser, whether a page names it or not
    ['/favicon.ico', { type: 'image/x-icon', bytes: Buffer.alloc(0) }],
  ])
  if (built) files.set('/phone-page.js', { type: script, bytes: await read('phone-page.js') })
  const modules = built ? [] : (await readdir(folder)).filter((name) => name.endsWith('.ts'))
  return async (path) => files.get(path) ?? (built ? null : fromSource(path, modules))
}

/** In development a browser gets each module without its types. */
async function fromSource(path: string, modules: readonly string[]): Promise<PageFile | null> {
  if (path === '/phone-page.js') return { type: script, bytes: Buffer.from("import './main.ts'\n") }
  const name = modules.find((one) => path === `/${one}`)
  if (name === undefined) return null
  const { stripTypeScriptTypes } = await import('node:module')
  return { type: script, bytes: Buffer.from(stripTypeScriptTypes(String(await read(name)))) }
}
