/**
 * Signs that a program keeps a folder the same on several computers. No single one is sure, and a program that leaves none is not
 * seen: the painter can say it, too.
 */
export type SyncSigns = {
  /** Second versions of the rack's own files, as such programs put them beside when two computers wrote at once. */
  readonly conflicts: readonly string[]
  /** What else points to such a program. */
  readonly signs: readonly string[]
}

export type SyncFacts = {
  /** Names in the rack's folder. */
  readonly names: readonly string[]
  /** Names in the folders above, nearest first; as far up as the home folder. */
  readonly above: ReadonlyArray<readonly string[]>
  /** Originals and their size; a file that has a size and takes no room on the drive is only a stand-in for one elsewhere. */
  readonly originals: ReadonlyArray<{ readonly name: string; readonly size: number; readonly blocks: number | null }>
}

/** Of the rack's own files a copy in another program's hand: "rack (conflicted copy 2031-05-01).sqlite", "rack.sync-conflict-….sqlite". */
const conflictWord = /conflict|konflikt|conflit|conflito|conflicto|konfliktowa|競合|冲突/i
const numbered = /^(rack|lock)(\.sqlite)? ?(\(\d+\)|\d+)(\.sqlite)?$/i
/** "rack (bench’s version).sqlite", "rack-BENCH.sqlite" */
const named = /^rack ?(\(.+\)|-[\p{L}\p{N}._ -]+)\.sqlite(-wal)?$/iu

/** A hidden file or folder in whose name "sync" is a word of its own: the program's list of what it knows. */
const marker = /^\.(.*[._-])?c?sync([._-].*|folder|ignore|versions)?$/i
/** A file on its way into the folder. */
const arriving = /^[.~]?.*rack\.sqlite.*(\.(tmp|temp|partial|download|sync)|~)$/i

/** Smaller files some drives keep beside their names, where they take no blocks. */
const smallest = 65_536

export function syncSigns({ names, above, originals }: SyncFacts): SyncSigns {
  const conflicts = names.filter(
    (name) =>
      /^(rack|lock|photos|backups)/i.test(name) && (conflictWord.test(name) || numbered.test(name) || named.test(name)),
  )
  const inside = names.filter((name) => marker.test(name) || arriving.test(name))
  const higher = above.flatMap((list) => list.filter((name) => marker.test(name)))
  const standIns = originals.filter(({ size, blocks }) => blocks === 0 && size >= smallest)
  const signs = [
    ...inside,
    ...higher,
    ...(standIns.length === 0
      ? []
      : [
          standIns.length === 1
            ? '1 photo that is only a stand-in'
            : `${standIns.length} photos that are only stand-ins`,
        ]),
  ]
  return { conflicts, signs: [...new Set(signs)] }
}
