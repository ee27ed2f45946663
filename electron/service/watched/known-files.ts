import type { KnownFile, SeenFile } from '../../rack/queries/watched.ts'

const key = ({ path, byteCount, modifiedMs }: SeenFile): string => `${path}\0${byteCount}\0${modifiedMs}`
const facts = ({ byteCount, modifiedMs }: SeenFile): string => `${byteCount}\0${modifiedMs}`

/** A refused file that stays as it is, is looked at again after so long, and then not any more. */
const againAfterMs = [60_000, 600_000, 3_600_000]
/** What a file is refused for that another look at the same bytes may not find. */
const passing = new Set(['photo/unreadable', 'photo/stopped-the-service'])

const quarterMs = 900_000
const dayMs = 86_400_000
/** FAT keeps times to two seconds. */
const fatMs = 2_000

/**
 * Whether two times of a file are one, told before and after the clock of the computer or its time zone changed: FAT and some cameras'
 * cards keep the time by the clock on the wall (FAT specification, Microsoft 2000, "Date and Time Formats"). Zones lie quarters of an
 * hour apart, and no two more than 26 hours.
 */
function isOneTime(before: number, now: number): boolean {
  const apart = Math.abs(now - before)
  const off = Math.abs(apart - Math.round(apart / quarterMs) * quarterMs)
  return apart <= dayMs + 8 * quarterMs && off <= (now % fatMs === 0 ? fatMs : 0)
}

/** What is known of a folder's files, so that a look does not ask the records thousands of times. */
export type KnownFiles = {
  add(file: KnownFile): void
  get(file: SeenFile): KnownFile | undefined
  /** Nothing is to be done about it now. */
  isSettled(file: SeenFile): boolean
  /** Whether a file with these bytes was refused, and is not to be tried again as it is. */
  isRefusedContent(file: SeenFile, sha256: string): boolean
  /**
   * Left alone when watching began: this is it, under another name, of the same size and time and lying no more where it did; or in its
   * place, its time told by another clock.
   */
  sameAs(file: SeenFile, seen: ReadonlySet<string>): KnownFile | undefined
  /** Left alone when watching began, of the same size, and not read yet: this may be a copy of it. */
  maybeCopyOf(file: SeenFile): KnownFile[]
}

export function makeKnownFiles(now: () => number = Date.now): KnownFiles {
  const byKey = new Map<string, KnownFile>()
  const thereBefore = new Map<string, KnownFile[]>()
  const bySize = new Map<number, KnownFile[]>()
  const byPath = new Map<string, KnownFile[]>()
  const put = <K>(map: Map<K, KnownFile[]>, at: K, file: KnownFile) => {
    const list = map.get(at)
    if (list) list.push(file)
    else map.set(at, [file])
  }
  return {
    add: (file) => {
      const isNew = !byKey.has(key(file))
      byKey.set(key(file), file)
      if (file.state !== 'there-before' || !isNew) return
      put(thereBefore, facts(file), file)
      put(bySize, file.byteCount, file)
      put(byPath, file.path, file)
    },
    get: (file) => byKey.get(key(file)),
    isSettled: (file) => {
      const known = byKey.get(key(file))
      if (!known) return false
      if (known.state !== 'refused') return true
      const after = againAfterMs[known.tries - 1]
      return after === undefined || Math.abs(now() - Date.parse(known.seenAt)) < after
    },
    isRefusedContent: (file, sha256) => {
      const known = byKey.get(key(file))
      return known?.state === 'refused' && known.sha256 === sha256 && !passing.has(known.why ?? '')
    },
    sameAs: (file, seen) =>
      thereBefore.get(facts(file))?.find(({ path }) => path !== file.path && !seen.has(path)) ??
      byPath
        .get(file.path)
        ?.find(({ byteCount, modifiedMs }) => byteCount === file.byteCount && isOneTime(modifiedMs, file.modifiedMs)),
    maybeCopyOf: (file) =>
      (bySize.get(file.byteCount) ?? [])
        .filter((known) => byKey.get(key(known))?.sha256 === null && known.path !== file.path)
        .slice(0, 8),
  }
}
