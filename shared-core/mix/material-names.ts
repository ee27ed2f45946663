import type { MaterialKind, MaterialRef } from '../records/mixture.ts'

/** What a formula may name: materials of the shelf, or bare names. */
export type KnownName = string | MaterialRef

const kindWords: readonly [RegExp, MaterialKind][] = [
  [/\b(carrier|binder|intercoat)\b/iu, 'carrier'],
  [/\b(hardener|catalyst|activator)\b/iu, 'hardener'],
  [/\b(reducer|thinner)\b/iu, 'reducer'],
  [/\bsealer\b/iu, 'sealer'],
  [/\b(flakes?)\b/iu, 'flake'],
  [/\b(pearl|mica)\b/iu, 'pearl'],
  [/\bbase(coat)?\b/iu, 'base'],
  [/\b(clear|clearcoat)\b/iu, 'clear'],
]

/** The kind that a name gives away ("slow reducer"); a colour without such a word is a concentrate. */
export function kindFromName(name: string): MaterialKind {
  return kindWords.find(([word]) => word.test(name))?.[1] ?? 'concentrate'
}

export const nameKey = (name: string): string => name.trim().replaceAll(/\s+/gu, ' ').toLowerCase()

const asMaterial = (known: KnownName): MaterialRef =>
  typeof known === 'string'
    ? { id: null, name: known, kind: kindFromName(known) }
    : { id: known.id, name: known.name, kind: known.kind }

/** Levenshtein distance, given up (as `limit` + 1) once it must exceed the limit. */
function editDistance(a: string, b: string, limit: number): number {
  if (Math.abs(a.length - b.length) > limit) return limit + 1
  let row = Array.from({ length: b.length + 1 }, (_, index) => index)
  for (let i = 1; i <= a.length; i++) {
    const next = [i]
    for (let j = 1; j <= b.length; j++) {
      const swap = (row[j - 1] ?? 0) + (a[i - 1] === b[j - 1] ? 0 : 1)
      next.push(Math.min(swap, (row[j] ?? 0) + 1, (next[j - 1] ?? 0) + 1))
    }
    row = next
  }
  return row[b.length] ?? limit + 1
}

/** The known name that a typed one was probably meant to be, or null. It is only suggested, never taken. */
const nearName = (typed: string, known: readonly MaterialRef[]): string | null => nearest(typed, known)?.name ?? null

/** The material of the shelf that is written much like this name, or null. */
export function nearMaterial(typed: string, shelf: readonly MaterialRef[]): { id: string; name: string } | null {
  const near = nearest(
    typed,
    shelf.filter((each) => each.id !== null),
  )
  return near?.id ? { id: near.id, name: near.name } : null
}

function nearest(typed: string, known: readonly MaterialRef[]): MaterialRef | null {
  const key = nameKey(typed)
  const limit = key.length <= 5 ? 1 : 2
  const near = known
    .map((each) => ({ each, distance: editDistance(key, nameKey(each.name), limit) }))
    .filter(({ distance }) => distance > 0 && distance <= limit)
    .toSorted((a, b) => a.distance - b.distance)
  return near[0]?.each ?? null
}

/** The materials that a formula may mean. */
export class Shelf {
  private readonly materials: readonly MaterialRef[]

  constructor(known: readonly KnownName[]) {
    this.materials = known.map(asMaterial)
  }

  get names(): string[] {
    return this.materials.map((each) => each.name)
  }

  has(name: string): boolean {
    return this.materials.some((each) => nameKey(each.name) === nameKey(name))
  }

  /**
   * The material of that name; "carrier" alone also means the only carrier there is. Any other name is a new material.
   * @param wanted    its kind where the name does not give one away
   * @param warnings  gets a question when the name is one slip away from a known one
   */
  find(name: string, wanted: MaterialKind | null, warnings: string[]): MaterialRef {
    const text = name.trim().replaceAll(/\s+/gu, ' ')
    const exact = this.materials.find((each) => nameKey(each.name) === nameKey(text))
    if (exact) return exact
    const guessed = kindFromName(text)
    const ofKind = this.materials.filter((each) => each.kind === guessed)
    if (nameKey(text) === guessed && ofKind.length === 1 && ofKind[0]) return ofKind[0]
    const near = nearName(text, this.materials)
    const warning = `“${text}” is not on the shelf: did you mean ${near}?`
    if (near && !warnings.includes(warning)) warnings.push(warning)
    return { id: null, name: text, kind: guessed === 'concentrate' && wanted ? wanted : guessed }
  }
}
