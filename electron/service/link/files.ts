import { realpath, stat } from 'node:fs/promises'
import { extname, join, sep } from 'node:path'

const types: Readonly<Record<string, string>> = {
  '.html': 'text/html; charset=utf-8',
  '.js': 'text/javascript; charset=utf-8',
  '.css': 'text/css; charset=utf-8',
  '.json': 'application/json; charset=utf-8',
  '.woff2': 'font/woff2',
  '.png': 'image/png',
  '.ico': 'image/x-icon',
  '.wasm': 'application/wasm',
}

/** A file to be sent, links resolved. */
export type FoundFile = { path: string; size: number }

/**
 * The file at `path` if it is an ordinary file that really lies inside the folder `inside`, links resolved on both
 * sides; otherwise nothing.
 */
export async function confined(inside: string, path: string): Promise<FoundFile | undefined> {
  try {
    const [folder, file] = await Promise.all([realpath(inside), realpath(path)])
    if (!file.startsWith(folder.endsWith(sep) ? folder : folder + sep)) return undefined
    const facts = await stat(file)
    return facts.isFile() ? { path: file, size: facts.size } : undefined
  } catch {
    // absent, unreadable, or a path that no file system takes: all of them mean that there is nothing to send
    return undefined
  }
}

/**
 * The file of the built pages for an address. A place of the application has no extension and gets the page itself,
 * which shows the place; a missing file with an extension stays missing.
 * @param pathname as it stands in the address, still percent-encoded
 */
export async function pageFile(pages: string, pathname: string) {
  const name = decoded(pathname)
  if (name === undefined) return undefined
  const extension = extname(name)
  const found = await confined(pages, join(pages, extension === '' ? 'index.html' : name))
  return found && { ...found, type: types[extension === '' ? '.html' : extension] ?? 'application/octet-stream' }
}

/** A percent-encoded path in plain letters, or nothing when it is not one or could leave its folder. */
export function decoded(pathname: string): string | undefined {
  try {
    const plain = decodeURIComponent(pathname)
    const odd = plain.includes('\0') || plain.includes('\\') || plain.split('/').includes('..')
    return odd ? undefined : plain
  } catch {
    return undefined
  }
}
