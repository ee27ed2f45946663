import { appendFileSync, mkdirSync, mkdtempSync, readFileSync, realpathSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import Database from 'better-sqlite3'
import type { WatchedFolder } from '../../shared-core/contract/watch-calls.ts'
import { clock, type Experiment, type Findings, type Options, pause } from './kit/experiment.ts'
import { type PhotoFile, photoSupply } from './kit/many-photos.ts'
import { begin, openIn, placeIn } from './kit/shop-service.ts'

/** One in five is written in pieces over some seconds, as a phone's program or a slow card does it. */
const slowShare = 0.2
const kills = 2

/** Copies into a watched folder while the service is killed twice, and counts what came into the rack. */
export const watched: Experiment = {
  name: 'watched',
  what: 'files are copied into a watched folder, some in pieces over seconds, and the service is killed twice: each is taken in exactly once',
  count: 500,
  minutes: 10,
  run,
}

function generator(seed: number): () => number {
  let state = seed >>> 0
  return () => {
    state = (Math.imul(state, 1_664_525) + 1_013_904_223) >>> 0
    return state / 2 ** 32
  }
}

async function run(options: Options): Promise<Findings> {
  const { seed, count, say } = options
  const next = generator(seed)
  const isOver = clock(options)
  const folder = realpathSync(mkdtempSync(join(tmpdir(), 'overground-watched-')))
  const place = placeIn(folder)
  const card = join(folder, 'card')
  mkdirSync(card)
  const files = (await photoSupply(join(folder, 'supply')))(count)
  let service = begin(place)
  const broken: string[] = []
  try {
    await service.call('rack.create', { folder: place.rack, name: 'Watched' })
    await service.call('watched.add', { path: card, takeThoseThere: false })

    let written = 0
    const copying = copyAll(files, card, next, () => void written++)
    const killedAt: string[] = []
    for (let kill = 1; kill <= kills; kill++) {
      // among the files that come in, wherever that is just then
      const after = Math.floor((count * kill) / (kills + 1))
      while (photosIn(place.rack).length < after * 0.8 && !isOver()) await pause(20)
      await pause(next() * 1_500)
      await service.kill()
      killedAt.push(`${photosIn(place.rack).length} of ${count}`)
      say(`killed with ${killedAt.at(-1)} in the rack, ${written} written`)
      service = begin(place)
      await openIn(service, place)
    }
    await copying
    const list = async () => ((await service.call('watched.list', {})) as { folders: WatchedFolder[] }).folders[0]
    // until it was looked into five more times, and nothing is under way
    for (let looks = 0, last = ''; looks < 5 && !isOver(); await pause(50)) {
      const now = await list()
      if (photosIn(place.rack).length < count || (now?.coming ?? 1) > 0) looks = 0
      else if (now?.lookedAt && now.lookedAt !== last) looks++
      last = now?.lookedAt ?? last
    }

    const there = photosIn(place.rack)
    const wanted = new Set(files.map(({ sha256 }) => sha256))
    for (const { name, sha256 } of files) {
      const times = there.filter((each) => each === sha256).length
      if (times !== 1) broken.push(`seed ${seed}: ${name} is in the rack ${times} times`)
      if (!readFileSync(join(card, name)).equals(readFileSync(join(folder, 'supply', name))))
        broken.push(`seed ${seed}: ${name} was altered in the folder`)
    }
    const strangers = there.filter((sha256) => !wanted.has(sha256)).length
    if (strangers > 0) broken.push(`seed ${seed}: ${strangers} photos that nobody put there, or cut ones`)
    const folderNow = await list()
    if (folderNow?.refused !== 0) broken.push(`seed ${seed}: ${folderNow?.refused} files were refused`)
    if (folderNow?.taken !== count) broken.push(`seed ${seed}: ${folderNow?.taken} are told as taken`)
    return {
      figures: { files: count, 'killed with in the rack': killedAt.join(', '), 'in the rack': there.length },
      broken,
    }
  } finally {
    await service.kill()
    rmSync(folder, { recursive: true, force: true })
  }
}

/** Some at a time; slow ones side by side with the others. */
async function copyAll(files: readonly PhotoFile[], card: string, next: () => number, done: () => void): Promise<void> {
  const slow: Promise<void>[] = []
  for (const { path, name } of files) {
    const bytes = readFileSync(path)
    const target = join(card, name)
    if (next() < slowShare) slow.push(inPieces(bytes, target, 3 + Math.floor(next() * 5), next).then(done))
    else {
      writeFileSync(target, bytes)
      done()
      await pause(next() * 60)
    }
  }
  await Promise.all(slow)
}

async function inPieces(bytes: Buffer, target: string, pieces: number, next: () => number): Promise<void> {
  const length = Math.ceil(bytes.length / pieces)
  for (let from = 0; from < bytes.length; from += length) {
    appendFileSync(target, bytes.subarray(from, from + length))
    // also longer than a file has to stay as it is
    await pause(200 + next() * 3_000)
  }
}

function photosIn(rack: string): string[] {
  const raw = new Database(join(rack, 'rack.sqlite'), { readonly: true })
  try {
    return raw.prepare('select sha256 from photo').pluck().all() as string[]
  } finally {
    raw.close()
  }
}
