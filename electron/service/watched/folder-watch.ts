import { realpath } from 'node:fs/promises'
import { basename, join } from 'node:path'
import type { Caution } from '../../../shared-core/records/photo.ts'
import type { Rack } from '../../rack/opening/open.ts'
import {
  filesOfIntake,
  giveFiles,
  isKnownContent,
  type KnownFile,
  knownFiles,
  noteFile,
  noteLook,
  pendingIntakes,
  type SeenFile,
} from '../../rack/queries/watched.ts'
import type { IntakeSupport } from '../intake/take-all.ts'
import { startIntake } from '../intake.ts'
import { makeHints } from './hints.ts'
import { type KnownFiles, makeKnownFiles } from './known-files.ts'
import { type Below, mostPhotos, photosBelow } from './photos-below.ts'
import { makeSettling, type Patience, usualPatience } from './settling.ts'
import { troubleOf, troubles } from './troubles.ts'
import { contentOf, endingOf } from './whole-file.ts'

export type Pace = Patience & {
  /** Between two looks when nothing is said to have happened: folders on networks and kept in step say nothing. */
  restMs: number
  /** While files are still coming, or the folder is not there. */
  busyMs: number
  /** Of more, only so many are watched. */
  mostPhotos: number
}

export const usualPace: Pace = { ...usualPatience, restMs: 10_000, busyMs: 1_000, mostPhotos }

/** What is noted of many files at once is not asked for each: whoever takes a rack over waits much longer than this. */
const verifiedMs = 500

/** Given to one intake: the more, the fewer steps to undo; the fewer, the sooner the first come in. */
const mostGiven = 100

export type FolderWatch = {
  /** Files that are not complete yet, or not taken in yet. */
  coming(): number
  lookedAt(): string | null
  trouble(): Caution | null
  /** Nothing more is taken from it from here on. */
  stop(): Promise<void>
}

type Watching = {
  rack: Rack
  folder: { id: string; path: string }
  support: IntakeSupport
  signal: AbortSignal
  known: KnownFiles
  /** Before anything is noted: asked at each look, and now and then in a long one. @throws Refusal where this rack is not ours to change any more */
  mayWrite: () => Promise<void>
}

/** Watches one folder until it is stopped. The folder is only ever read. */
export function watchFolder(
  rack: Rack,
  folder: { id: string; path: string },
  support: IntakeSupport,
  pace: Pace,
): FolderWatch {
  const abort = new AbortController()
  let mayWriteUntil = Number.NEGATIVE_INFINITY
  const mayWrite = async () => {
    if (performance.now() < mayWriteUntil) return
    await rack.verify()
    mayWriteUntil = performance.now() + verifiedMs
  }
  const watching: Watching = { rack, folder, support, signal: abort.signal, known: makeKnownFiles(), mayWrite }
  const settling = makeSettling(pace)
  const hints = makeHints()
  let lookedAt: string | null = null
  let trouble: Caution | null = null
  let coming = 0
  const pending = new Set<string>()

  /** While an intake is under way the next files wait, so that they are fewer steps to undo. */
  const isFree = async (): Promise<boolean> => {
    let free = true
    for (const id of pending) {
      const job = support.jobs.list().find((each) => each.id === id)
      const files = await filesOfIntake(rack.db, id)
      for (const file of files) watching.known.add(file)
      if (job?.state !== 'running' && files.every(({ state }) => state !== 'given')) pending.delete(id)
      else free = false
      // it goes on when the rack is opened again; until then more would only fail, too
      if (job?.state === 'failed') trouble = job.error
    }
    return free
  }

  const look = async (): Promise<void> => {
    mayWriteUntil = Number.NEGATIVE_INFINITY
    const free = await isFree()
    const below = await whatLiesThere(folder.path, abort.signal, pace.mostPhotos)
    const seen = new Set(below.files.map(({ path }) => path))
    settling.keepOnly(seen)
    hints.listen(below.folders)
    const ready: SeenFile[] = []
    let open = 0
    for (const file of below.files) {
      if (watching.known.isSettled(file)) continue
      if (await wasLeftAlone(watching, file, seen)) continue
      open++
      const path = join(folder.path, file.path)
      if (await settling.isComplete(file, () => endingOf(path).catch(() => 'unclear' as const))) ready.push(file)
      abort.signal.throwIfAborted()
    }
    coming = open
    if (free) trouble = below.isTooMany ? troubles.tooMany : null
    lookedAt = new Date().toISOString()
    if (!free || ready.length === 0) return
    const { given, settled, intakeId } = await give(watching, ready.toSorted(asTaken).slice(0, mostGiven), seen)
    for (const path of settled) settling.forget(path)
    coming -= settled.length - given
    if (intakeId !== null) pending.add(intakeId)
    await noteLook(rack.db, folder.id, lookedAt)
  }

  const readKnown = async (): Promise<void> => {
    for await (const file of knownFiles(rack.db, folder.id)) {
      abort.signal.throwIfAborted()
      watching.known.add(file)
    }
    for (const id of await pendingIntakes(rack.db, folder.id)) pending.add(id)
  }

  const run = async (): Promise<void> => {
    let isKnown = false
    for (;;) {
      const from = performance.now()
      let isSurprising = false
      try {
        if (!isKnown) await readKnown()
        isKnown = true
        await look()
      } catch (error) {
        abort.signal.throwIfAborted()
        const said = troubleOf(error)
        trouble = said ?? support.log.unexpected(error, `looking into ${folder.path}`)
        isSurprising = said === null
        coming = 0
        hints.listen([])
      }
      const took = performance.now() - from
      const wait = (coming > 0 || trouble !== null) && !isSurprising ? pace.busyMs : pace.restMs
      // a look at very many files, or over a slow line, is a small part of the time
      await hints.wait(Math.max(wait, 10 * took), Math.max(pace.busyMs, 4 * took), abort.signal)
    }
  }

  const running = run().catch((error: unknown) => {
    if (error !== abort.signal.reason) trouble = support.log.unexpected(error, `watching ${folder.path}`)
  })
  return {
    coming: () => coming,
    lookedAt: () => lookedAt,
    trouble: () => trouble,
    stop: async () => {
      abort.abort(new Error('no longer watched'))
      await running
      hints.close()
    },
  }
}

/** In the order in which they were taken. */
const asTaken = (a: SeenFile, b: SeenFile): number => a.modifiedMs - b.modifiedMs || (a.path < b.path ? -1 : 1)

/** What stands in its place now may be a link to another folder. */
export async function whatLiesThere(path: string, signal: AbortSignal, most: number): Promise<Below> {
  if ((await realpath(path)) !== path) throw Object.assign(new Error('A link leads elsewhere.'), { code: 'ENOENT' })
  return photosBelow(path, signal, most)
}

/** What was left alone when watching began is left alone under its new name or time, too. */
async function wasLeftAlone(
  { rack, folder, known, mayWrite }: Watching,
  file: SeenFile,
  seen: ReadonlySet<string>,
): Promise<boolean> {
  const before = known.get(file) ? undefined : known.sameAs(file, seen)
  if (!before) return false
  const now = { ...before, ...file }
  await mayWrite()
  await noteFile(rack.db, folder.id, now)
  known.add(now)
  return true
}

type Given = { intakeId: string | null; given: number; settled: string[] }

/** Gives complete files to an intake, but for those whose bytes came before. */
async function give(watching: Watching, files: readonly SeenFile[], seen: ReadonlySet<string>): Promise<Given> {
  const { rack, folder, support, signal, known } = watching
  const settled: string[] = []
  const fresh = new Map<string, SeenFile & { sha256: string }>()
  for (const file of files) {
    const sha256 = await contentOf(join(folder.path, file.path), signal).catch((error: unknown) => {
      signal.throwIfAborted()
      // somebody still has it, or it has just gone: the next look tells
      if ((error as { code?: string }).code === undefined) throw error
      return null
    })
    if (sha256 === null) continue
    await watching.mayWrite()
    settled.push(file.path)
    const isOld = await isOldContent(watching, file, sha256, seen)
    if (isOld) await settle(watching, { ...file, sha256, state: isOld })
    // the same photo twice in one go: the other one is known at the next look
    else if (!fresh.has(sha256)) fresh.set(sha256, { ...file, sha256 })
    else settled.pop()
  }
  signal.throwIfAborted()
  const given = [...fresh.values()]
  if (given.length === 0) return { intakeId: null, given: 0, settled }
  await watching.mayWrite()
  const names = given.map(({ path }) => ({ path: join(folder.path, path), name: basename(path) }))
  const intakeId = await startIntake(rack, names, support, (tx, id) => giveFiles(tx, folder.id, id, given))
  const seenAt = new Date().toISOString()
  for (const file of given) {
    const tries = (known.get(file)?.tries ?? 0) + 1
    known.add({ ...file, state: 'given', why: null, tries, seenAt })
  }
  return { intakeId, given: given.length, settled }
}

/** Whether these bytes need no intake, and what is noted of the file then. */
async function isOldContent(
  watching: Watching,
  file: SeenFile,
  sha256: string,
  seen: ReadonlySet<string>,
): Promise<'taken' | 'refused' | null> {
  const { rack, folder, known, signal } = watching
  if (known.isRefusedContent(file, sha256)) return 'refused'
  // what was left alone at the beginning was not read then
  for (const other of known.maybeCopyOf(file)) {
    if (!seen.has(other.path)) continue
    const content = await contentOf(join(folder.path, other.path), signal).catch(() => null)
    signal.throwIfAborted()
    if (content === null) continue
    await noteFile(rack.db, folder.id, { ...other, sha256: content })
    known.add({ ...other, sha256: content })
  }
  return (await isKnownContent(rack.db, sha256)) ? 'taken' : null
}

async function settle(
  { rack, folder, known }: Watching,
  { state, ...file }: SeenFile & { sha256: string; state: 'taken' | 'refused' },
): Promise<void> {
  const before = known.get(file)
  const noted: KnownFile = {
    ...file,
    state,
    why: state === 'refused' ? (before?.why ?? null) : null,
    tries: (before?.tries ?? 0) + 1,
    seenAt: new Date().toISOString(),
  }
  await noteFile(rack.db, folder.id, noted)
  known.add(noted)
}
