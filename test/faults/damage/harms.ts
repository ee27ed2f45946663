import {
  closeSync,
  copyFileSync,
  existsSync,
  openSync,
  readFileSync,
  readSync,
  rmSync,
  statSync,
  truncateSync,
  utimesSync,
  writeFileSync,
  writeSync,
} from 'node:fs'
import { join } from 'node:path'
import type { Random } from '../fuzz/random.ts'

/** What a bad drive, a torn copy or a careless hand does to a rack's files. */
export type Harm = {
  name: string
  /** To a rack that was closed, or to one whose service was killed. */
  of: 'closed' | 'killed'
  /** @returns what was done, in words */
  do: (folder: string, random: Random, olderLog: string) => string
}

const pageBytes = 4096
const database = (folder: string) => join(folder, 'rack.sqlite')
const log = (folder: string) => join(folder, 'rack.sqlite-wal')

/** Works on a file as a drive does that alters it by itself: its time stays. */
function quietly(path: string, work: (file: number, size: number) => string): string {
  const { atime, mtime, size } = statSync(path)
  const file = openSync(path, 'r+')
  try {
    return work(file, size)
  } finally {
    closeSync(file)
    utimesSync(path, atime, mtime)
  }
}

function flip(path: string, random: Random, from = 0): string {
  return quietly(path, (file, size) => {
    const words: string[] = []
    for (let count = random.few(12); count >= 0; count--) {
      const at = from + random.int(Math.max(1, size - from))
      const byte = Buffer.alloc(1)
      readSync(file, byte, 0, 1, at)
      byte[0] = (byte[0] ?? 0) ^ (1 << random.int(8))
      writeSync(file, byte, 0, 1, at)
      words.push(String(at))
    }
    return `bits flipped at ${words.join()}`
  })
}

function truncate(path: string, random: Random): string {
  const size = statSync(path).size
  const left = random.int(size)
  truncateSync(path, left)
  return `${left} of ${size} bytes left`
}

const page = (file: number, number: number): Buffer => {
  const bytes = Buffer.alloc(pageBytes)
  readSync(file, bytes, 0, pageBytes, number * pageBytes)
  return bytes
}

const swap = (folder: string, random: Random): string =>
  quietly(database(folder), (file, size) => {
    const pages = size / pageBytes
    const [a, b] = [1 + random.int(pages - 1), 1 + random.int(pages - 1)]
    const [first, second] = [page(file, a), page(file, b)]
    writeSync(file, second, 0, pageBytes, a * pageBytes)
    writeSync(file, first, 0, pageBytes, b * pageBytes)
    return `pages ${a} and ${b} swapped`
  })

const zero = (folder: string, random: Random): string =>
  quietly(database(folder), (file, size) => {
    const number = random.int(size / pageBytes)
    writeSync(file, Buffer.alloc(pageBytes), 0, pageBytes, number * pageBytes)
    return `page ${number} zeroed`
  })

/** A letter or digit inside what a painter wrote: SQLite finds nothing wrong with it. */
const word = (folder: string, random: Random): string => {
  const bytes = readFileSync(database(folder))
  const places: number[] = []
  for (const text of ['Panel ', 'bright gold', 'two passes', 'Damson', 'gloss clear', 'aluminium'])
    for (let at = bytes.indexOf(text); at >= 0; at = bytes.indexOf(text, at + 1))
      places.push(at + random.int(text.length))
  const at = random.pick(places)
  return quietly(database(folder), (file) => {
    writeSync(file, Buffer.from([97 + random.int(26)]), 0, 1, at)
    return `a letter at ${at} is another`
  })
}

const touched =
  (work: Harm['do']): Harm['do'] =>
  (folder, random, older) => {
    const words = work(folder, random, older)
    utimesSync(database(folder), new Date(), new Date(Date.now() + 5000))
    return `${words}, and the file’s time with it`
  }

const note = (folder: string) => join(folder, 'backups', 'seal.json')

export const harms: readonly Harm[] = [
  { name: 'bits of the database', of: 'closed', do: (folder, random) => flip(database(folder), random) },
  { name: 'a word in the database', of: 'closed', do: word },
  { name: 'the log is lost', of: 'killed', do: (folder) => (rmSync(log(folder)), 'rack.sqlite-wal deleted') },
  { name: 'the database is cut', of: 'closed', do: (folder, random) => truncate(database(folder), random) },
  { name: 'pages swapped', of: 'closed', do: swap },
  { name: 'bits of the log', of: 'killed', do: (folder, random) => flip(log(folder), random) },
  { name: 'a page zeroed', of: 'closed', do: zero },
  {
    name: 'bits of the database, by another hand',
    of: 'closed',
    do: touched((folder, random) => flip(database(folder), random)),
  },
  { name: 'the log is cut', of: 'killed', do: (folder, random) => truncate(log(folder), random) },
  { name: 'a word in the database, by another hand', of: 'closed', do: touched(word) },
  {
    name: 'an older log',
    of: 'killed',
    do: (folder, _, older) => (copyFileSync(older, log(folder)), 'the log of an earlier moment lies there'),
  },
  {
    name: 'the database is gone',
    of: 'closed',
    do: (folder) => (rmSync(database(folder)), 'rack.sqlite deleted'),
  },
  {
    name: 'another file in its place',
    of: 'closed',
    do: (folder, random) => {
      writeFileSync(database(folder), random.bytes(200_000))
      return 'rack.sqlite is noise'
    },
  },
  {
    name: 'the note of the seal',
    of: 'closed',
    do: (folder, random) => (random.chance(0.5) ? flip(note(folder), random) : truncate(note(folder), random)),
  },
  {
    name: 'renditions or the seal gone, and bits of the database',
    of: 'closed',
    do: (folder, random) => {
      rmSync(join(folder, 'renditions'), { recursive: true })
      const words = flip(database(folder), random)
      if (random.chance(0.5)) return `renditions deleted; ${words}`
      rmSync(note(folder))
      return `renditions and the seal deleted; ${words}`
    },
  },
  {
    name: 'bits of the database beside a log',
    of: 'killed',
    do: (folder, random) => flip(database(folder), random),
  },
  { name: 'a word in the database beside a log', of: 'killed', do: word },
  {
    name: 'shared memory',
    of: 'killed',
    do: (folder, random) => {
      const path = join(folder, 'rack.sqlite-shm')
      if (existsSync(path)) writeFileSync(path, random.bytes(32_768))
      return 'rack.sqlite-shm is noise'
    },
  },
  {
    name: 'the lock',
    of: 'killed',
    do: (folder, random) => {
      writeFileSync(join(folder, 'lock'), random.bytes(random.few(300)))
      return 'the lock is noise'
    },
  },
]
