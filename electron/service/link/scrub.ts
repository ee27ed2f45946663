import { existsSync, readFileSync } from 'node:fs'
import { homedir, hostname, userInfo } from 'node:os'
import { join } from 'node:path'
import { fileURLToPath } from 'node:url'

/** What stands where something was taken out. No letters: a user who is called "home" or "path" must not come back by it. */
export const gap = '…'

/** Names that are shorter are too common inside of other words: those go only where they stand alone. */
const shortName = 3

/**
 * Takes out of a text everything that says whose computer this is and what hangs on its racks: known words (home folder,
 * user, host, racks, what was typed), and whatever looks like a path, a file's name, quoted words, an address or a key.
 * The application's own folder is the one path that stays, as `.`: where in the program something happened.
 * @param words  any writing, any length; found in either case, composed or not, with either slash, escaped or not
 */
export function scrubber(words: Iterable<string>, ownFolder: string = applicationFolder): (text: string) => string {
  const long = new Set<string>()
  const short = new Set<string>()
  for (const word of words) {
    const composed = word.normalize('NFC').trim()
    // what was typed on several lines stands on one in an entry
    for (const one of new Set([composed, composed.replaceAll(/[\p{Cc}\p{Zl}\p{Zp}]+/gu, ' ')])) {
      // signs alone say nothing of anybody
      if (!/[\p{L}\p{N}]/u.test(one)) continue
      if (Array.from(one).length < shortName) short.add(one)
      else for (const form of formsOf(one)) long.add(form)
    }
  }
  const forms = [...long].map((form) => ({ form, low: form.toLowerCase(), up: form.toUpperCase() }))
  const alone = [...short].map((word) => `(?<![\\p{L}\\p{N}])${escaped(word)}(?![\\p{L}\\p{N}])`)
  const own = [...formsOf(ownFolder.replace(/[\\/]+$/, ''))].toSorted((a, b) => b.length - a.length)

  const hide = (text: string): string => {
    // a rack has tens of thousands of names: only those that are there at all are looked for
    const [low, up] = [text.toLowerCase(), text.toUpperCase()]
    const there = forms.filter((one) => low.includes(one.low) || up.includes(one.up)).map(({ form }) => form)
    const known = [...there.toSorted((a, b) => b.length - a.length).map(escaped), ...alone]
    return known.length === 0 ? text : text.replace(new RegExp(known.join('|'), 'giu'), gap)
  }

  return (text) => {
    let left = text.normalize('NFC')
    for (const form of own) left = left.replaceAll(`file://${form}`, '.').replaceAll(form, '.')
    return left
      .split('\n')
      .map((line) => (isFrame(line) ? scrubFrame(line, hide) : hide(scrubLine(line))))
      .join('\n')
  }
}

const isFrame = (line: string) => /^\s+at /.test(line)

/** Of a place in the program, or in Node: where our own files lie says nothing of anybody, whatever a rack is called. */
const ownPlace =
  /\(?((?:node:|\.\/(?:out|electron|shared-core|renderer|node_modules|assets)\/)[\w./@-]*:\d+(?::\d+)?)\)?\s*$/
/** Pages name their files by an address of our own. */
const pagePlace = /(?:app:\/\/local|http:\/\/127\.0\.0\.1:\d+)(\/assets\/[\w.-]+\.js:\d+:\d+)\)?\s*$/

/** A line of a stack: the function's name and a place in the program; a place elsewhere is not said. */
function scrubFrame(line: string, hide: (text: string) => string): string {
  const page = pagePlace.exec(line)?.[1]
  const place = ownPlace.exec(line)?.[1] ?? (page ? `.${page}` : gap)
  const name = /^\s+at ((?:async )?(?:new )?[\w$.#<>[\] ]{1,120}?) \(/.exec(line)?.[1]
  return name === undefined ? `    at ${place}` : `    at ${hide(name)} (${place})`
}

const quotes: readonly [string, string][] = [
  ['"', '"'],
  ['“', '”'],
  ['‘', '’'],
  ['«', '»'],
  ['`', '`'],
]

function scrubLine(line: string): string {
  let left = line
  // "(reading 'map')": a property that is asked for by name in the program
  const kept: string[] = []
  left = left.replace(
    /\((reading|setting) '([A-Za-z_$][\w$]{0,30})'\)/g,
    (whole) => `\uE000${kept.push(whole) - 1}\uE000`,
  )
  for (const [open, close] of quotes) {
    // to the last closing one: what is quoted may hold quotes
    left = left.replace(new RegExp(`${open}[\\s\\S]*${close}`, 'gu'), `${open}${gap}${close}`)
  }
  left = left.replace(/(?<!\w)'[\s\S]*'(?!\w)/gu, `'${gap}'`)
  left = left
    .replace(/\b[a-z][a-z0-9+.-]*:\/\/\S+/giu, gap)
    .replace(/[^\s@<>()]+@[^\s@<>()]+/gu, gap)
    // nobody can tell where a path ends that has blanks in it: the rest of the line goes with it
    .replace(/(?<![\w…])(?:[.~]{0,2}[\\/]{1,2}(?=[^\s\\/])|[A-Za-z]:[\\/])[\s\S]*$/u, gap)
    .replace(/[^\s]+\.(?:jpe?g|png|hei[cf]|tiff?|dng|webp|avif|gif|pdf|csv|txt|cxf|xml|zip|sqlite|db|json)\b/giu, gap)
    .replace(/\b(?:\d{1,3}\.){3}\d{1,3}\b/g, gap)
    .replace(/[\w-]{32,}/g, gap)
  return left.replace(/\uE000(\d+)\uE000/g, (_, index: string) => kept[Number(index)] ?? '')
}

/** How a word may stand in a message: with either slash, in JSON, in an address, its accents apart. */
function formsOf(word: string): Set<string> {
  const slashes = [word, word.replaceAll('\\', '/'), word.replaceAll('/', '\\')]
  const forms = slashes.flatMap((form) => [form, JSON.stringify(form).slice(1, -1), encoded(form)])
  return new Set(forms.flatMap((form) => [form, form.normalize('NFC')]))
}

function encoded(form: string): string {
  try {
    return encodeURI(form)
  } catch {
    return form // half a surrogate pair has no address
  }
}

const escaped = (word: string) => word.replace(/[\\^$.*+?()[\]{}|/]/g, '\\$&')

/** Two folders up, from the source (`electron/service/link`) three: the folder of package.json. */
export const applicationFolder: string = findOwnFolder()

function findOwnFolder(): string {
  let folder = fileURLToPath(new URL('.', import.meta.url))
  for (let up = 0; up < 5; up++) {
    if (existsSync(join(folder, 'package.json'))) return folder.replace(/[\\/]+$/, '')
    folder = join(folder, '..')
  }
  return fileURLToPath(new URL('.', import.meta.url))
}

/**
 * Words of this computer and of its application folder: home, user, host, racks that were opened, the painter's name.
 * Read anew each time: what is written to a log is rare, and what is known changes.
 */
export function knownWords(appFolder: string): string[] {
  const words = [homedir(), hostname(), hostname().split('.')[0] ?? '', appFolder, process.env.OVERGROUND_RACKS ?? '']
  try {
    words.push(userInfo().username)
  } catch {
    // a user without an entry in the system has no name to hide
  }
  for (const name of ['USER', 'USERNAME', 'LOGNAME', 'COMPUTERNAME', 'HOSTNAME']) words.push(process.env[name] ?? '')
  for (const text of stringsIn(readJson(join(appFolder, 'recent-racks.json')))) words.push(text, ...lastPieces(text))
  const settings = readJson(join(appFolder, 'settings.json')) as { painter?: unknown } | undefined
  if (typeof settings?.painter === 'string') words.push(settings.painter)
  for (const text of stringsIn(settings)) if (/[\\/]/.test(text)) words.push(text, ...lastPieces(text))
  return words.filter((word) => word !== '')
}

/** Of a path its last folder or file: it is told without the rest as well. */
const lastPieces = (text: string) => (/[\\/]/.test(text) ? text.split(/[\\/]/).filter(Boolean).slice(-1) : [])

function readJson(path: string): unknown {
  try {
    return JSON.parse(readFileSync(path, 'utf8')) as unknown
  } catch {
    return undefined // not there yet, or damaged: then nothing is known from it
  }
}

/** Every string in a value, at most so many: what was typed into a call, for instance. */
export function stringsIn(value: unknown, most = 5000): string[] {
  const found: string[] = []
  const seen = new Set<unknown>()
  const walk = (one: unknown): void => {
    if (found.length >= most || seen.has(one)) return
    if (typeof one === 'string') found.push(one)
    if (typeof one !== 'object' || one === null) return
    seen.add(one)
    for (const inner of Object.values(one)) walk(inner)
  }
  walk(value)
  return found
}
